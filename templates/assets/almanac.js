// What the page can do with a script: switches for units and theme, filtering
// and sorting of tables. Every page is whole without it.
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
    return text.normalize("NFD").replace(/[\u0300-\u036f]/g, "").toLowerCase();
  }

  // A long list of towns gets a filter too.
  document.querySelectorAll("[data-find]").forEach(function (section) {
    var items = Array.prototype.slice.call(section.querySelectorAll("li"));
    if (items.length < 9) { return; }
    var tools = document.createElement("div");
    tools.className = "tools";
    var label = document.createElement("label");
    label.textContent = "Find ";
    label.htmlFor = "find-list";
    var input = document.createElement("input");
    input.type = "search";
    input.id = "find-list";
    var said = document.createElement("span");
    said.setAttribute("role", "status");
    tools.append(label, input, said);
    input.addEventListener("input", function () {
      var words = plain(input.value).split(/\s+/).filter(Boolean);
      var shown = 0;
      section.querySelectorAll("." + section.getAttribute("data-find")).forEach(function (group) {
        var head = plain(group.querySelector("h3").textContent), any = false;
        group.querySelectorAll("li").forEach(function (li) {
          var name = head + " " + plain(li.querySelector("a").textContent);
          li.hidden = !words.every(function (w) { return name.indexOf(w) >= 0; });
          if (!li.hidden) { any = true; shown += 1; }
        });
        group.hidden = !any;
      });
      said.textContent = words.length ? shown + " of " + items.length : "";
    });
    section.querySelector("h2").after(tools);
  });

  // Tables that turn into cards on a phone stay tables for screen readers.
  [["table", "table"], ["thead, tbody", "rowgroup"], ["tr", "row"], ["thead th", "columnheader"], ["tbody th", "rowheader"], ["td", "cell"]].forEach(function (r) {
    document.querySelectorAll(r[0] === "table" ? "table.cards" : r[0].split(", ").map(function (x) { return ".cards " + x; }).join(", ")).forEach(function (e) {
      e.setAttribute("role", r[1]);
    });
  });

  // Tables: a filter above, and headings that sort.
  var count = 0;
  document.querySelectorAll("table[data-tools]").forEach(function (table) {
    var body = table.tBodies[0];
    var rows = Array.prototype.slice.call(body.rows);
    if (rows.length < 2) { return; }
    sortable(table, body, rows);
    if (table.getAttribute("data-tools") && rows.length > 5) { filterable(table, rows); }
  });

  function filterable(table, rows) {
    count += 1;
    var tools = document.createElement("div");
    tools.className = "tools";
    var label = document.createElement("label");
    label.textContent = "Find ";
    var input = document.createElement("input");
    input.type = "search";
    input.id = "find-" + count;
    label.htmlFor = input.id;
    tools.appendChild(label);
    tools.appendChild(input);
    var groups = [];
    rows.forEach(function (r) {
      var g = r.getAttribute("data-group");
      if (g && groups.indexOf(g) < 0) { groups.push(g); }
    });
    var select = null;
    if (groups.length > 1) {
      var l2 = document.createElement("label");
      l2.textContent = "Crop ";
      select = document.createElement("select");
      select.id = "crop-" + count;
      l2.htmlFor = select.id;
      ["all"].concat(groups).forEach(function (g) {
        var o = document.createElement("option");
        o.value = g === "all" ? "" : g;
        o.textContent = g;
        select.appendChild(o);
      });
      tools.appendChild(l2);
      tools.appendChild(select);
    }
    var said = document.createElement("span");
    said.setAttribute("role", "status");
    tools.appendChild(said);
    var texts = rows.map(function (r) { return plain(r.textContent); });
    function apply() {
      var words = plain(input.value).split(/\s+/).filter(Boolean);
      var shown = 0;
      rows.forEach(function (r, i) {
        var fits = words.every(function (w) { return texts[i].indexOf(w) >= 0; }) && (!select || !select.value || r.getAttribute("data-group") === select.value);
        r.hidden = !fits;
        if (fits) { shown += 1; }
      });
      said.textContent = shown === rows.length ? rows.length + " rows" : shown + " of " + rows.length + " rows";
    }
    input.addEventListener("input", apply);
    if (select) { select.addEventListener("change", apply); }
    apply();
    var before = table.parentNode.classList.contains("scroll") ? table.parentNode : table;
    before.parentNode.insertBefore(tools, before);
  }

  function sortable(table, body, rows) {
    var heads = Array.prototype.slice.call(table.tHead.rows[0].cells);
    heads.forEach(function (th, column) {
      var kind = th.getAttribute("data-s");
      if (!kind) { return; }
      var link = th.querySelector("a");
      var b = document.createElement("button");
      b.type = "button";
      b.className = "sort";
      if (link) {
        b.setAttribute("aria-label", "Sort by " + th.textContent.trim());
      } else {
        while (th.firstChild) { b.appendChild(th.firstChild); }
      }
      th.appendChild(b);
      b.addEventListener("click", function () {
        var now = th.getAttribute("aria-sort");
        var down = now ? now === "ascending" : kind === "n" && th.cellIndex > 1;
        heads.forEach(function (h) { h.removeAttribute("aria-sort"); });
        th.setAttribute("aria-sort", down ? "descending" : "ascending");
        var keys = new Map();
        rows.forEach(function (r) {
          var c = r.cells[column];
          keys.set(r, kind === "n" ? parseFloat(c.getAttribute("data-v")) : plain(c.textContent));
        });
        rows.slice().sort(function (a, b2) {
          var x = keys.get(a), y = keys.get(b2);
          var d = kind === "n" ? x - y : x.localeCompare(y, root.lang);
          return down ? -d : d;
        }).forEach(function (r) { body.appendChild(r); });
      });
    });
  }

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
