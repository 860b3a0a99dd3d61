// What every page can do with a script: switches for units and theme. Every
// page is whole without it.
(function () {
  "use strict";
  var root = document.documentElement;

  function keep(key, value) {
    try { window.localStorage.setItem("ripeward-" + key, value); } catch (e) { /* private window */ }
  }

  // Switches.
  function state(name) {
    return root.getAttribute("data-" + name) || (name === "theme" ? "auto" : "m");
  }
  function choose(name, value) {
    if (name === "theme" && value === "auto") { root.removeAttribute("data-theme"); } else { root.setAttribute("data-" + name, value); }
    keep(name, value);
    show();
  }
  function show() {
    document.querySelectorAll("[data-switch]").forEach(function (group) {
      var now = state(group.getAttribute("data-switch"));
      group.querySelectorAll("button").forEach(function (b) {
        b.setAttribute("aria-pressed", String(b.getAttribute("data-set") === now));
      });
    });
  }
  document.querySelectorAll(".switches").forEach(function (s) { s.hidden = false; });
  document.querySelectorAll("[data-switch] button").forEach(function (b) {
    b.addEventListener("click", function () {
      choose(b.parentNode.getAttribute("data-switch"), b.getAttribute("data-set"));
    });
  });
  show();

  // Letters without accents and case, for searching.
  function plain(text) {
    return text.toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, "").replace(/[\u2018\u2019']/g, "")
      .replace(/\u00df/g, "ss").replace(/\u00e6/g, "ae").replace(/\u0153/g, "oe").replace(/\u00f8/g, "o").replace(/\u0142/g, "l");
  }

  // The list of all names is long in a large club: it is fetched, as a script
  // so that a plain folder will do, when a reader is about to look something up.
  var asked = null;
  function names(then) {
    var at = document.body.getAttribute("data-names");
    function done() { then(window.ripewardNames || []); }
    if (window.ripewardNames || !at) { done(); return; }
    if (asked) { asked.push(done); return; }
    asked = [done];
    var s = document.createElement("script");
    ["load", "error"].forEach(function (e) {
      s.addEventListener(e, function () {
        var all = asked;
        asked = null;
        all.forEach(function (f) { f(); });
      });
    });
    s.src = at;
    document.head.append(s);
  }

  // Other scripts of the site compare names in the same way.
  window.ripeward = { plain: plain, names: names };

  // Tables that turn into cards on a phone stay tables for screen readers.
  [["table", "table"], ["thead, tbody", "rowgroup"], ["tr", "row"], ["thead th", "columnheader"], ["tbody th", "rowheader"], ["td", "cell"]].forEach(function (r) {
    document.querySelectorAll(r[0] === "table" ? "table.cards" : r[0].split(", ").map(function (x) { return ".cards " + x; }).join(", ")).forEach(function (e) {
      e.setAttribute("role", r[1]);
    });
  });

  // Jobs due in the seven days from the reader's today. Dates come from past
  // years, so that a list of another year holds too: it is moved by whole years.
  var now = new Date();
  var today = Date.UTC(now.getFullYear(), now.getMonth(), now.getDate()), week = today + 6 * 864e5;
  function dueThisWeek(li) {
    var from = li.querySelector("time").getAttribute("datetime").split("-"), until = li.getAttribute("data-until").split("-");
    return [-1, 0, 1].some(function (k) {
      var y = now.getFullYear() + k - from[0];
      return Date.UTC(+from[0] + y, from[1] - 1, from[2]) <= week && Date.UTC(+until[0] + y, until[1] - 1, until[2]) >= today;
    });
  }
  function listed(sel) { return Array.prototype.slice.call(document.querySelectorAll(sel)).filter(dueThisWeek); }
  listed(".tasks[data-now] > li").forEach(function (li) {
    var mark = document.createElement("span");
    mark.className = "duenow";
    mark.textContent = li.parentNode.getAttribute("data-now");
    li.querySelector(".job").appendChild(mark);
  });
  var card = document.getElementById("week");
  if (card) {
    var due = listed("#due > li"), head = card.querySelector("h2"), list = document.createElement("ul");
    due.forEach(function (li) {
      var item = document.createElement("li"), job = li.lastElementChild.cloneNode(true);
      job.querySelector("b").after(", ", li.querySelector("time").cloneNode(true));
      item.appendChild(job);
      list.appendChild(item);
    });
    head.textContent = head.getAttribute("data-now");
    card.querySelector("[data-before]").hidden = true;
    card.querySelector("[data-after]").hidden = due.length > 0;
    if (due.length) { head.after(list); }
    card.hidden = false;
  }
})();
