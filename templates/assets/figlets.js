// The count-down of a town: a cultivar and a date, answered in a sentence from
// the table of the page. The page is whole without it.
(function () {
  "use strict";
  function by(id) { return document.getElementById(id); }
  var box = by("count"), table = document.querySelector("table.figlets");
  if (!box || !table || !table.tBodies[0].rows.length) { return; }
  var rows = Array.prototype.slice.call(table.tBodies[0].rows);
  var heads = Array.prototype.slice.call(table.tHead.rows[0].cells).slice(2).map(function (h) { return h.textContent.replace(/[↑↓↕]/g, "").trim(); });
  var words = box.getAttribute("data-words").split("|");
  var cultivar = by("count-cultivar"), seen = by("count-day");
  function option(select, text, value) {
    var o = document.createElement("option");
    o.textContent = text;
    o.value = String(value);
    select.append(o);
  }
  // Puts values at the places #1, #2 ... of a sentence.
  function fill(text, values) {
    return text.replace(/#(\d)/g, function (at, n) { return values[n - 1]; });
  }
  function level(n) { return n >= 95 ? 10 : n < 5 ? 0 : Math.floor((n + 5) / 10); }
  function tell() {
    var row = rows[Number(cultivar.value)], name = row.cells[0].textContent.trim();
    var v = Number(row.cells[Number(seen.value) + 2].getAttribute("data-v")), drop = row.cells[1];
    var says = v < 0 ? fill(say("For #1 that date has no figure."), [name]) : fill(say("Figlets of #1 first seen by #2 ripen in #3."), [name, heads[Number(seen.value)], words[level(v)]]);
    if (Number(drop.getAttribute("data-v")) > 0) {
      says += " " + fill(say("Those that show after #1 can go: they finish in fewer than 5 years in 10."), [drop.textContent.trim()]);
    } else {
      says += " " + say("However early they show, they finish in fewer than 5 years in 10.");
    }
    by("count-says").textContent = says;
  }
  rows.forEach(function (r, i) { option(cultivar, r.cells[0].textContent.trim(), i); });
  heads.forEach(function (h, i) { option(seen, h, i); });
  seen.value = String(Math.floor(heads.length / 2));
  cultivar.addEventListener("change", tell);
  seen.addEventListener("change", tell);
  tell();
  box.hidden = false;
})();
