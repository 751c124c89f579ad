/* A disk that stalls, fails or tears writes to the journal, laid under a program by LD_PRELOAD.

   What it does stands in the file that FAILING_DISK names, read at each call: a word and a number.
     stall MS    the next write takes so long; then the file is emptied
     fail ERRNO  every write fails
     sync ERRNO  every fsync fails
     tear BYTES  the next write that is longer ends the program after so many bytes
   Anything else, or nothing: all is done as asked. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

static int is_journal(int fd) {
  char link[64], path[4096];
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  ssize_t length = readlink(link, path, sizeof path - 1);
  if (length < 0) return 0;
  path[length] = 0;
  return strstr(path, "/journal.db") != NULL && strstr(path, "-shm") == NULL;
}

static int asked(char *word, long *number) {
  const char *file = getenv("FAILING_DISK");
  FILE *stream = file ? fopen(file, "r") : NULL;
  if (!stream) return 0;
  int found = fscanf(stream, "%15s %ld", word, number);
  fclose(stream);
  return found == 2;
}

static void done(void) {
  FILE *stream = fopen(getenv("FAILING_DISK"), "w");
  if (stream) fclose(stream);
}

/* How many bytes to write now; -1 to fail. */
static ssize_t allowed(int fd, size_t count) {
  char word[16];
  long number;
  if (!is_journal(fd) || !asked(word, &number)) return count;
  if (!strcmp(word, "stall")) {
    done();
    usleep(number * 1000);
  } else if (!strcmp(word, "fail")) {
    errno = number;
    return -1;
  } else if (!strcmp(word, "tear") && (size_t)number < count) {
    return number;
  }
  return count;
}

static ssize_t torn(ssize_t written) {
  kill(getpid(), SIGKILL);
  return written;
}

ssize_t pwrite64(int fd, const void *data, size_t count, off64_t at) {
  static ssize_t (*real)(int, const void *, size_t, off64_t);
  if (!real) real = dlsym(RTLD_NEXT, "pwrite64");
  ssize_t most = allowed(fd, count);
  if (most < 0) return -1;
  ssize_t written = real(fd, data, most, at);
  return (size_t)most < count ? torn(written) : written;
}

ssize_t pwrite(int fd, const void *data, size_t count, off_t at) {
  return pwrite64(fd, data, count, at);
}

ssize_t write(int fd, const void *data, size_t count) {
  static ssize_t (*real)(int, const void *, size_t);
  if (!real) real = dlsym(RTLD_NEXT, "write");
  ssize_t most = allowed(fd, count);
  if (most < 0) return -1;
  ssize_t written = real(fd, data, most);
  return (size_t)most < count ? torn(written) : written;
}

static int may_sync(int fd) {
  char word[16];
  long number;
  if (!is_journal(fd) || !asked(word, &number) || strcmp(word, "sync")) return 1;
  errno = number;
  return 0;
}

int fsync(int fd) {
  static int (*real)(int);
  if (!real) real = dlsym(RTLD_NEXT, "fsync");
  return may_sync(fd) ? real(fd) : -1;
}

int fdatasync(int fd) {
  static int (*real)(int);
  if (!real) real = dlsym(RTLD_NEXT, "fdatasync");
  return may_sync(fd) ? real(fd) : -1;
}
