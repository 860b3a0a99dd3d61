// The planner of a town: a slider through the weeks of head start, which reads
// the tables of its page, and a set of cultivars, reckoned from sets.js. The
// page is whole without it.
(function () {
  "use strict";
  function by(id) { return document.getElementById(id); }
  function option(select, text, value) {
    var o = document.createElement("option");
    o.textContent = text;
    o.value = String(value);
    select.append(o);
  }
  function open(hash) {
    var at = hash && by(hash.slice(1));
    if (at && at.tagName === "DETAILS") { at.open = true; }
  }
  document.addEventListener("click", function (e) {
    var a = e.target.closest && e.target.closest("a[href^='#c-']");
    if (a) { open(a.getAttribute("href")); }
  });
  open(window.location.hash);

  // Weeks of head start.
  var planner = by("planner");
  if (planner) {
    var crops = Array.prototype.slice.call(document.querySelectorAll("details[data-crop]")).filter(function (d) { return d.querySelector("table[data-weeks]"); });
    var crop = by("plan-crop"), method = by("plan-method"), weeks = by("plan-weeks"), bars = planner.querySelector(".weekbars");
    var tables = [], rows = [];
    crops.forEach(function (d, i) { option(crop, d.getAttribute("data-crop"), i); });
    var methods = function () {
      var before = method.selectedOptions.length ? method.selectedOptions[0].textContent : "";
      tables = Array.prototype.slice.call(crops[Number(crop.value)].querySelectorAll("table[data-weeks]"));
      method.textContent = "";
      tables.forEach(function (t, i) {
        option(method, t.getAttribute("data-weeks"), i);
        if (t.getAttribute("data-weeks") === before) { method.value = String(i); }
      });
      table(before === "");
    };
    var table = function (first) {
      var t = tables[Number(method.value)];
      rows = Array.prototype.slice.call(t.tBodies[0].rows);
      var n = Number(weeks.value);
      weeks.min = rows[0].cells[0].textContent.trim();
      weeks.max = rows[rows.length - 1].cells[0].textContent.trim();
      weeks.value = first ? t.getAttribute("data-usual") : String(n);
      bars.textContent = "";
      rows.forEach(function (r) {
        var b = document.createElement("span");
        b.className = "y" + r.getAttribute("data-y");
        var i = document.createElement("i");
        i.textContent = r.cells[0].textContent.trim();
        b.append(i);
        bars.append(b);
      });
      show();
    };
    var show = function () {
      var n = weeks.value, words = "";
      rows.forEach(function (r, i) {
        var here = r.cells[0].textContent.trim() === n;
        bars.children[i].classList.toggle("here", here);
        if (!here) { return; }
        planner.querySelectorAll("[data-out]").forEach(function (o) {
          o.textContent = r.cells[Number(o.getAttribute("data-out"))].textContent.trim();
        });
        words = r.cells[1].textContent.trim();
      });
      by("plan-n").textContent = n;
      weeks.setAttribute("aria-valuetext", say("#1: #2").replace("#1", n).replace("#2", words));
    };
    if (crops.length) {
      crop.addEventListener("change", methods);
      method.addEventListener("change", function () { table(false); });
      weeks.addEventListener("input", show);
      // Begin with the first that a head start makes a difference for.
      var telling = crops.findIndex(function (d) {
        var r = d.querySelector("table[data-weeks]").tBodies[0].rows;
        return Number(r[0].getAttribute("data-y")) < 7 && Number(r[r.length - 1].getAttribute("data-y")) > 7;
      });
      crop.value = String(Math.max(telling, 0));
      methods();
      document.querySelectorAll(".only-script").forEach(function (e) { e.hidden = false; });
    }
  }

  // A set of cultivars.
  var form = by("set-form"), data = window.ripewardSets;
  if (form && data && data.methods.length) {
    var way = by("set-method"), picks = Array.prototype.slice.call(form.querySelectorAll("[data-pick]"));
    data.methods.forEach(function (m, i) { option(way, m.name, i); });
    // Share of years with at least one ripe: the mean over years of the mean
    // over gardens of 1 - the product of the chances that each fails.
    var share = function (m, set) {
      var g = m.gardens.length, sum = 0;
      for (var y = 0; y < m.years; y++) {
        for (var k = 0; k < g; k++) {
          var none = 1;
          set.forEach(function (r) { none *= 1 - parseInt(r.chance.substr(2 * (y * g + k), 2), 16) / 100; });
          sum += m.gardens[k] * (1 - none);
        }
      }
      return m.years ? sum / m.years : 0;
    };
    // Weeks of picking in a mean year: days on which at least one is picked.
    var picking = function (m, set) {
      var days = 0;
      for (var y = 0; y < m.years; y++) {
        var picked = {};
        set.forEach(function (r) {
          var from = r.picking[2 * y], until = r.picking[2 * y + 1];
          if (from === 0 && until === 0) { return; }
          for (var d = from; d <= until; d++) { picked[d] = true; }
        });
        days += Object.keys(picked).length;
      }
      return m.years ? days / 7 / m.years : 0;
    };
    var level = function (s) {
      var n = Math.round(s * 100);
      return n >= 95 ? 10 : n < 5 ? 0 : Math.floor((n + 5) / 10);
    };
    var tell = function () {
      var m = data.methods[Number(way.value)], set = [];
      picks.forEach(function (p) {
        var r = m.rows[Number(p.value)];
        if (p.value !== "" && set.indexOf(r) < 0) { set.push(r); }
      });
      var s = share(m, set), w = picking(m, set);
      by("set-share").textContent = say("In #|years in 10").replace("#", data.words[level(s)]);
      by("set-weeks").textContent = Number(w.toFixed(1)).toLocaleString(document.documentElement.lang);
      form.setAttribute("data-share", s.toFixed(2));
      form.setAttribute("data-weeks", w.toFixed(1));
    };
    var fill = function () {
      var m = data.methods[Number(way.value)];
      picks.forEach(function (p, i) {
        p.textContent = "";
        option(p, say("none|no cultivar chosen"), "");
        m.rows.forEach(function (r, j) { option(p, r.name, j); });
        var first = m.first && m.first[i];
        p.value = first === undefined || first === null ? "" : String(first);
      });
      tell();
    };
    way.addEventListener("change", fill);
    picks.forEach(function (p) { p.addEventListener("change", tell); });
    fill();
    form.hidden = false;
  }
})();
