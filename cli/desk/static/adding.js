// Dropping files on the form, their names, and how far the sending is. Without this script the form works as it is.
"use strict";
(() => {
  const form = document.getElementById("adding");
  const drop = document.getElementById("drop");
  const files = document.getElementById("files");
  const picked = document.getElementById("picked");
  const problem = document.getElementById("adding-problem");
  const bar = document.getElementById("sending");
  const barWords = document.getElementById("sending-words");
  const words = document.getElementById("drop-words");
  if (words) words.hidden = false;

  const tell = (said) => {
    problem.textContent = said;
    problem.hidden = !said;
  };

  const sending = (on) => {
    bar.hidden = barWords.hidden = !on;
    document.getElementById("add").disabled = on;
  };

  const show = () => {
    picked.replaceChildren(
      ...Array.from(files.files, (file) => {
        const line = document.createElement("li");
        line.textContent = file.name;
        return line;
      })
    );
    const bytes = Array.from(files.files).reduce((sum, file) => sum + file.size, 0);
    const most = Number(form.dataset.most);
    tell(bytes > most ? `Together these are over ${Math.floor(most / 1048576)} MB: add fewer at a time.` : "");
  };

  const over = (on) => (event) => {
    event.preventDefault();
    drop.classList.toggle("over", on);
  };
  drop.addEventListener("dragover", over(true));
  drop.addEventListener("dragleave", over(false));
  drop.addEventListener("drop", (event) => {
    over(false)(event);
    if (event.dataTransfer.files.length) files.files = event.dataTransfer.files;
    show();
  });
  files.addEventListener("change", show);

  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const call = new XMLHttpRequest();
    call.open("POST", form.action);
    call.setRequestHeader("X-Token", form.elements.token.value);
    call.upload.addEventListener("progress", (step) => {
      if (step.lengthComputable) bar.value = (100 * step.loaded) / step.total;
    });
    const failed = (said) => {
      sending(false);
      tell(said);
    };
    call.addEventListener("error", () => failed("The files could not be sent. Is the desk still running?"));
    call.addEventListener("load", () => {
      let answer = {};
      try {
        answer = JSON.parse(call.responseText);
      } catch {
        answer = {};
      }
      if (answer.at) location.assign(answer.at);
      else failed(answer.problem || `The files were not taken (${call.status}). Load this page anew and try again.`);
    });
    tell("");
    sending(true);
    call.send(new FormData(form));
  });
})();
