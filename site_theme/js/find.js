/* On the page of all instruments: leaves out, of gallery and table alike, those that are not what was chosen. What was
   chosen stands behind the # of the address, so that it can be kept and sent. No network is needed. */
(function () {
  "use strict";

  var form = document.querySelector(".bb-find");
  if (!form) return;
  var selects = Array.prototype.slice.call(form.querySelectorAll("select"));
  var count = form.querySelector("[role=status]");
  var lines = Array.prototype.map.call(document.querySelectorAll("[data-told]"), function (line) {
    return {line: line, told: JSON.parse(line.dataset.told), isCard: line.tagName === "LI"};
  });
  var all = lines.filter(function (each) { return each.isCard; }).length;

  function inWords(shown, chosen) {
    if (!chosen.length) return "All " + all + " instruments are shown.";
    var words = chosen.map(function (select) { return select.value; }).join(", ");
    if (!shown) return "No instrument is all of this: " + words + ".";
    return shown + " of " + all + " instruments " + (shown === 1 ? "is" : "are") + " shown: " + words + ".";
  }

  function show() {
    var chosen = selects.filter(function (select) { return select.value; });
    var shown = 0;
    lines.forEach(function (each) {
      var fits = chosen.every(function (select) { return each.told[select.name].indexOf(select.value) >= 0; });
      each.line.hidden = !fits;
      if (fits && each.isCard) shown += 1;
    });
    var words = inWords(shown, chosen);
    if (count.textContent !== words) count.textContent = words;
    form.classList.toggle("bb-chosen", chosen.length > 0);
    return chosen;
  }

  function keep(chosen) {
    var kept = new URLSearchParams();
    chosen.forEach(function (select) { kept.set(select.name, select.value); });
    history.replaceState(history.state, "", chosen.length ? "#" + kept : location.pathname + location.search);
  }

  /* A fragment that names no choice is the place of a heading, and changes nothing. */
  function read() {
    var kept = new URLSearchParams(location.hash.slice(1));
    if (!selects.some(function (select) { return kept.has(select.name); })) return;
    selects.forEach(function (select) {
      select.value = kept.get(select.name) || "";
      if (select.selectedIndex < 0) select.value = "";
    });
  }

  form.addEventListener("change", function () { keep(show()); });
  form.addEventListener("submit", function (event) { event.preventDefault(); });
  form.addEventListener("reset", function (event) {
    event.preventDefault();
    selects.forEach(function (select) { select.value = ""; });
    keep(show());
  });
  window.addEventListener("hashchange", function () { read(); show(); });
  window.addEventListener("pageshow", show);
  form.hidden = false;
  read();
  show();
})();
