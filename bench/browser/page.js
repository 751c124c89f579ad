// Sets the terminal up before it opens: where it connects to, and letters that fit the glass.
"use strict";

const terminal = document.querySelector("#terminal");
const socket = new URL("ws", window.location.href);
socket.protocol = window.location.protocol === "https:" ? "wss:" : "ws:";
socket.search = "";
terminal.dataset.sessionWebsocketUrl = socket.href;

// A letter is 0.6 as wide as it is high. With a mouse 16 px do; for fingers a line is to be at
// least 24 px high (WCAG 2.2, success criterion 2.5.8): 80 letters a line if they fit, else 60.
const fingers = window.matchMedia("(pointer: coarse)").matches;
const asked = Number(new URLSearchParams(window.location.search).get("fontsize"));
const across = (letters) => Math.floor((window.innerWidth / letters / 0.6) * 10) / 10;
const fitting = across(80) >= 19 ? across(80) : Math.max(12, across(60));
terminal.dataset.fontSize = asked >= 8 && asked <= 64 ? asked : fingers ? fitting : 16;

// Without this every touch would bring up a keyboard on the glass.
const keyboard = document.querySelector("#keyboard");
const keys = () => terminal.querySelector("textarea");
const setKeyboard = (shown) => {
  keyboard.setAttribute("aria-pressed", String(shown));
  keys()?.setAttribute("inputmode", shown ? "text" : "none");
};
new MutationObserver((_, watcher) => {
  if (keys()) {
    watcher.disconnect();
    if (fingers) setKeyboard(false);
  }
}).observe(terminal, { childList: true, subtree: true });
keyboard.addEventListener("click", () => {
  setKeyboard(keyboard.getAttribute("aria-pressed") !== "true");
  keys()?.blur();
  keys()?.focus();
});
document.querySelector("#again").addEventListener("click", () => window.location.reload());
