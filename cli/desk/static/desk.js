// The desk works without this file. With it, the kit's verdict follows the typing; nothing is ever written.
"use strict";

(() => {
  const PAUSE = 300; // milliseconds without a key before the verdict is asked for

  function follow(form) {
    const place = document.getElementById(form.dataset.into);
    const said = document.getElementById("said"); // what a screen reader tells
    let waiting = 0;
    let asked = 0;

    async function ask() {
      const mine = ++asked;
      const words = new URLSearchParams(new FormData(form));
      if (!words.get("kit").trim()) return;
      try {
        const answer = await fetch(`${form.dataset.live}?${words}`, { headers: { Accept: "text/html" } });
        const page = await answer.text();
        if (mine !== asked || !answer.ok) return;
        place.innerHTML = page; // our own page, its words escaped there
        said.textContent = place.querySelector(".verdict")?.textContent ?? "";
      } catch {
        // the button below the form still works
      }
    }

    form.addEventListener("input", () => {
      clearTimeout(waiting);
      waiting = setTimeout(ask, PAUSE);
    });
  }

  // what was typed above goes with the slip
  function carry(form) {
    form.addEventListener("submit", () => {
      for (const name of form.dataset.with.split(" ")) {
        const typed = document.getElementById(name);
        const field = form.elements.namedItem(name);
        if (typed && field && field.type === "hidden") field.value = typed.value;
      }
    });
  }

  document.querySelectorAll("form[data-live]").forEach(follow);
  document.querySelectorAll("form[data-with]").forEach(carry);
})();
