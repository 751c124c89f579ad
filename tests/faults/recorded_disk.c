/* Writes down what a program does to its journal's files, laid under it by LD_PRELOAD.

   Each record goes to the end of the file that RECORDED_DISK names, in one write: a letter, the
   length of the path (4 bytes), the path, an offset (8), the length of the data (4), the data.
     W  data is about to be written at the offset
     T  the file is about to be cut to the offset
     S  all that was written to the file before, or done in the folder, is on the disk
   A sync takes SYNC_US microseconds more than it does here, so that a cut often falls into one. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <fcntl.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/syscall.h>
#include <sys/types.h>
#include <sys/uio.h>
#include <unistd.h>

static int path_of(int fd, char *path, size_t most) {
  char link[64];
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  ssize_t length = readlink(link, path, most - 1);
  if (length < 0) return 0;
  path[length] = 0;
  const char *folder = getenv("RECORDED_FOLDER");
  if (folder && !strcmp(path, folder)) return 1;
  return strstr(path, "/journal.db") != NULL && strstr(path, "-shm") == NULL;
}

static void record(char letter, int fd, int64_t at, const void *data, uint32_t count) {
  static int log = -1;
  char path[4096];
  if (!path_of(fd, path, sizeof path)) return;
  if (log < 0) log = syscall(SYS_openat, AT_FDCWD, getenv("RECORDED_DISK"),
                             O_WRONLY | O_APPEND | O_CREAT | O_CLOEXEC, 0644);
  uint32_t length = strlen(path);
  struct iovec parts[] = {{&letter, 1}, {&length, 4}, {path, length},
                          {&at, 8},     {&count, 4},  {(void *)data, count}};
  syscall(SYS_writev, log, parts, 6);
}

static void take_time(int fd) {
  char path[4096];
  const char *us = getenv("SYNC_US");
  if (us && path_of(fd, path, sizeof path)) usleep(atoi(us));
}

ssize_t pwrite64(int fd, const void *data, size_t count, off64_t at) {
  static ssize_t (*real)(int, const void *, size_t, off64_t);
  if (!real) real = dlsym(RTLD_NEXT, "pwrite64");
  record('W', fd, at, data, count);
  return real(fd, data, count, at);
}

ssize_t pwrite(int fd, const void *data, size_t count, off_t at) {
  return pwrite64(fd, data, count, at);
}

int ftruncate64(int fd, off64_t size) {
  static int (*real)(int, off64_t);
  if (!real) real = dlsym(RTLD_NEXT, "ftruncate64");
  record('T', fd, size, "", 0);
  return real(fd, size);
}

int ftruncate(int fd, off_t size) { return ftruncate64(fd, size); }

int fsync(int fd) {
  static int (*real)(int);
  if (!real) real = dlsym(RTLD_NEXT, "fsync");
  take_time(fd);
  int result = real(fd);
  if (!result) record('S', fd, 0, "", 0);
  return result;
}

int fdatasync(int fd) {
  static int (*real)(int);
  if (!real) real = dlsym(RTLD_NEXT, "fdatasync");
  take_time(fd);
  int result = real(fd);
  if (!result) record('S', fd, 0, "", 0);
  return result;
}
