// The page works without this: it fetches the page that a form would lead to
// and puts its live parts in place of the old ones.
"use strict";
(() => {
  const status = (text) => { const s = document.getElementById("status"); if (s) s.textContent = text; };
  let running = null;

  const put = async (url) => {
    if (running) running.abort();
    running = new AbortController();
    const began = performance.now();
    const answer = await fetch(url, { signal: running.signal });
    const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (!answer.ok) {
      const wrong = fresh.querySelector(".wrong");
      status(wrong ? wrong.textContent : "That did not work.");
      return;
    }
    for (const old of document.querySelectorAll("[data-live]")) {
      const now = fresh.getElementById(old.id);
      if (now && !old.contains(document.activeElement)) old.replaceWith(now);
    }
    document.title = fresh.title;
    history.replaceState(null, "", url);
    document.documentElement.dataset.took = Math.round(performance.now() - began);
    status("The plan is up to date.");
  };

  const follow = (form, wait) => {
    let timer = 0;
    const go = () => {
      const url = new URL(form.action);
      url.search = new URLSearchParams(new FormData(form)).toString();
      put(url.toString()).catch((e) => { if (e.name !== "AbortError") status("The program does not answer. Is it still running?"); });
    };
    const soon = () => { clearTimeout(timer); timer = setTimeout(go, wait); };
    return { go, soon };
  };

  const ask = document.getElementById("ask");
  if (ask) {
    const { soon } = follow(ask, 60);
    ask.addEventListener("change", (e) => {
      // Another place has other settings: load its page from the beginning.
      if (e.target.name === "place") {
        location.search = "?place=" + encodeURIComponent(e.target.value);
        return;
      }
      soon();
    });
  }

  const find = document.getElementById("find");
  if (find) find.addEventListener("input", follow(find, 150).soon);

  const drop = document.getElementById("weather");
  if (drop) {
    const input = drop.querySelector("input[type=file]");
    // A file that misses the frame would open in place of the page: take it
    // anywhere.
    const mark = (on) => (e) => {
      if (!e.dataTransfer.types.includes("Files")) return;
      e.preventDefault();
      drop.classList.toggle("over", on);
    };
    document.addEventListener("dragover", mark(true));
    document.addEventListener("dragleave", mark(false));
    document.addEventListener("drop", (e) => {
      mark(false)(e);
      if (e.dataTransfer.files.length === 0) return;
      input.files = e.dataTransfer.files;
      document.getElementById("u-name").focus();
    });
  }
})();
