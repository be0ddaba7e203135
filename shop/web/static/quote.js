/* The quote page made immediate: as the form changes, the figures beside it are fetched and put in place.
   Without this file the button "Reckon" does the same. */
(function () {
  "use strict";
  const form = document.getElementById("quote-form");
  if (!form || !window.fetch || !window.DOMParser) return;
  const told = document.getElementById("live-told");
  let waiting = 0;
  let asked = 0;
  let abort = null;

  const NAMED = "#comes-to-more .figure-name, #comes-to-more .more-name";

  function openFigures() {
    return [...document.querySelectorAll(NAMED)].filter((name) => name.closest("details").open).map((name) => name.textContent);
  }

  function put(html, turn) {
    if (turn !== asked) return;
    const sent = new DOMParser().parseFromString(html, "text/html");
    if (!sent.getElementById("comes-to")) return;
    const open = new Set(openFigures());
    for (const id of ["comes-to", "comes-to-more", "comes-to-bar"]) {
      document.getElementById(id).replaceWith(document.adoptNode(sent.getElementById(id)));
    }
    for (const name of document.querySelectorAll(NAMED)) {
      if (open.has(name.textContent)) name.closest("details").open = true;
    }
    for (const said of sent.querySelectorAll("[id^='loom-says-']")) {
      const place = document.querySelector("[data-from='" + said.id + "']");
      if (place) place.textContent = said.textContent;
    }
    const price = document.querySelector("#comes-to .asking");
    if (told && price) told.textContent = price.parentElement.textContent.replace(/\s+/g, " ").trim();
  }

  async function reckon() {
    const turn = ++asked;
    if (abort) abort.abort();
    abort = new AbortController();
    try {
      const answer = await fetch(form.dataset.reckon, {
        method: "POST", body: new FormData(form), signal: abort.signal, credentials: "same-origin", redirect: "manual",
      });
      if (answer.ok) put(await answer.text(), turn);
    } catch (error) {
      if (error.name !== "AbortError") return; /* no signal: the button is still there */
    }
  }

  function later() {
    window.clearTimeout(waiting);
    waiting = window.setTimeout(reckon, 250);
  }

  form.addEventListener("input", later);
  const size = form.elements.namedItem("size");
  if (size) {
    size.addEventListener("change", function () {
      if (size.value === "") return;
      const parts = size.selectedOptions[0].textContent.split("×");
      if (parts.length !== 2) return;
      form.elements.namedItem("width").value = parts[0].trim();
      form.elements.namedItem("length").value = parts[1].trim();
      size.value = "";
      later();
    });
  }
  for (const side of ["width", "length"]) {
    form.elements.namedItem(side).addEventListener("input", function () { if (size) size.value = ""; });
  }
})();
