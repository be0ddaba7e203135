/* Bringing cloth home made immediate: more places for pieces without asking the shop, and a customary size put
   into the empty entries as it is chosen. Without this file the buttons of the page do the same. */
(function () {
  "use strict";
  const form = document.getElementById("haul-form");
  const blank = document.getElementById("blank-piece");
  const more = document.getElementById("more-pieces");
  const pieces = document.getElementById("pieces");
  if (!form || !blank || !pieces) return;
  const rows = form.elements["haul-rows"];
  const sheets = JSON.parse(form.dataset.sheets);
  const most = Number(form.dataset.most);

  function numbered(node, row) {
    for (const name of ["id", "name", "for", "aria-describedby"]) {
      const value = node.getAttribute(name);
      if (value) node.setAttribute(name, value.replaceAll("-NEW-", "-" + row + "-"));
    }
  }

  function addPlace() {
    const row = Number(rows.value);
    if (!(row < most)) return null;
    const place = blank.content.firstElementChild.cloneNode(true);
    for (const node of place.querySelectorAll("*")) numbered(node, row);
    const legend = place.querySelector("legend");
    legend.textContent = legend.textContent.replace("NEW", String(row + 1));
    pieces.append(place);
    rows.value = String(row + 1);
    return place;
  }

  if (more) {
    more.addEventListener("click", function (press) {
      press.preventDefault();
      const place = addPlace();
      if (place) place.querySelector("input").focus();
      if (Number(rows.value) >= most) more.remove();
    });
  }

  form.addEventListener("change", function (change) {
    const chosen = change.target;
    if (!chosen.name || !chosen.name.endsWith("-sheet") || !sheets[chosen.value]) return;
    const before = chosen.name.slice(0, -"sheet".length);
    ["width", "length"].forEach(function (side, place) {
      const entry = form.elements[before + side];
      if (entry && (!entry.value.trim() || entry.dataset.filled === entry.value)) {
        entry.value = entry.dataset.filled = sheets[chosen.value][place];
      }
    });
  });
})();
