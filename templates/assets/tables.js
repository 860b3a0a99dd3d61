// Tables: headings that sort, choices above that filter, an address for every
// choice, and arrow keys in grids. Every table is whole without it.
//
// The choice stands after the "#", so that it reaches no server and works from
// a plain folder: #ripens?crop=fig&way=plain-pot&odds=8&by=-first-ripe names the
// table, then what is chosen in it.
(function () {
  "use strict";
  var root = document.documentElement, plain = window.ripeward.plain;
  var words = {
    find: say("Find"), more: say("Filter and sort"), crop: say("Crop"), all: say("all|crops, columns"), ways: say("Way of growing"),
    odds: say("Ripens at least"), any: say("any|number"), inTen: say("# years in 10"), hours: say("Work at most"), hoursOf: say("# hours a year"),
    by: say("Order"), asIs: say("as listed"), rows: say("# rows"), oneOf: say("# of # rows|one row"), someOf: say("# of # rows"), clear: say("Show all"),
    atLeast: say("#: at least # years in 10"), atMost: say("#: at least # years in 10, for at most # hours a year"),
    sortBy: say("Sort by #"), keys: say("Arrow keys move from cell to cell.")
  };
  var counts = new Intl.PluralRules(root.lang);
  // Puts values in the places that a text leaves for them.
  function fill(text, values) {
    var i = 0;
    return text.replace(/#/g, function () { return values[i++]; });
  }
  var count = 0, taken = {}, tables = [];

  function slug(text) { return plain(text).replace(/[^a-z0-9]+/g, "-").replace(/^-+|-+$/g, ""); }
  function list(all) { return Array.prototype.slice.call(all); }
  function make(tag, text) {
    var e = document.createElement(tag);
    if (text) { e.textContent = text; }
    return e;
  }
  function nameOf(table) {
    var section = table.closest("section[aria-labelledby]");
    var name = table.id || (section && section.getAttribute("aria-labelledby")) || "table";
    taken[name] = (taken[name] || 0) + 1;
    return taken[name] > 1 ? name + "-" + taken[name] : name;
  }
  // Years in ten of a cell, from the class of its bar; -1 where it has none.
  function level(cell) {
    var m = /(?:^| )y(\d+)(?: |$)/.exec(cell.className);
    return m ? Number(m[1]) : -1;
  }

  // Other names of what a row's first link leads to.
  var others = {};
  function textOf(row) {
    var a = row.cells[0].querySelector("a"), more = "";
    if (a) {
      var to = a.getAttribute("href").replace(/^(\.\.\/)+/, "");
      more = others[to] || others["cultivars/" + to] || "";
    }
    return plain(row.textContent + more);
  }

  function Sheet(table, name) {
    this.table = table;
    this.name = name;
    this.body = table.tBodies[0];
    this.rows = list(this.body.rows);
    this.heads = list(table.tHead.rows[0].cells);
    this.controls = {};
    this.sorting = "";
    var rows = this.rows;
    // The columns of odds that can be looked at one by one.
    this.ways = this.heads.map(function (th, i) { return i; }).filter(function (i) {
      var cells = rows.map(function (r) { return r.cells[i]; });
      return cells.some(function (c) { return level(c) >= 0; }) && !cells.some(function (c) { return c.classList.contains("w"); });
    });
    this.sortable();
    if (table.getAttribute("data-tools") && rows.length > 5) { this.filterable(); }
    if (table.classList.contains("grid")) { keys(table); }
  }

  Sheet.prototype.filterable = function () {
    var me = this, tools = make("div"), more = make("div"), opener = make("button", words.more);
    tools.className = "tools shut";
    more.className = "more";
    count += 1;
    function control(key, label, input) {
      input.id = "pick-" + key + "-" + count;
      var l = make("label", label + " ");
      l.htmlFor = input.id;
      var box = make("span");
      box.append(l, input);
      (key === "find" ? tools : more).append(box);
      me.controls[key] = input;
    }
    function select(key, label, options, none, act) {
      if (options.length === 0) { return; }
      var s = make("select");
      [["", none]].concat(options).forEach(function (o) {
        var e = make("option", o[1]);
        e.value = o[0];
        s.append(e);
      });
      s.addEventListener("change", function () {
        if (act) { act(s.value); }
        me.apply(true);
      });
      control(key, label, s);
    }
    var find = make("input");
    find.type = "search";
    find.autocomplete = "off";
    find.addEventListener("input", function () { me.apply(true); });
    find.addEventListener("focus", function () { me.learnNames(); });
    control("find", words.find, find);
    // On a phone the other choices are folded away until they are wanted.
    opener.type = "button";
    opener.className = "button opener";
    this.unfold = function (open) {
      tools.classList.toggle("shut", !open);
      opener.setAttribute("aria-expanded", String(open));
    };
    opener.addEventListener("click", function () { me.unfold(tools.classList.contains("shut")); });
    this.unfold(false);
    this.texts = null; // made when they are first looked at
    this.crops = this.rows.map(function (r) { return slug(r.getAttribute("data-group") || ""); });
    var crops = [];
    this.rows.forEach(function (r, i) {
      if (me.crops[i] && !crops.some(function (c) { return c[0] === me.crops[i]; })) { crops.push([me.crops[i], r.getAttribute("data-group")]); }
    });
    if (crops.length > 1) { select("crop", words.crop, crops, words.all); }
    if (this.ways.length) {
      var label = this.table.getAttribute("data-columns") || words.ways;
      this.column = slug(label).split("-")[0];
      if (this.ways.length > 1) {
        select(this.column, label, this.ways.map(function (i) { return [me.headSlug(i), me.headText(i)]; }), words.all);
      }
      select("odds", words.odds, [9, 8, 7, 5, 3].map(function (n) { return [String(n), fill(words.inTen, [n])]; }), words.any);
      this.hours = this.rows.map(function (r) {
        return (r.getAttribute("data-hours") || "").split(" ").map(function (h) { return h === "" || h === "-" ? Infinity : Number(h); });
      });
      var some = this.hours.reduce(function (a, b) { return a.concat(b); }, []).filter(isFinite);
      var most = Math.max.apply(null, some.concat(0)), least = Math.min.apply(null, some.concat(Infinity));
      select("hours", words.hours, [2, 5, 10, 20, 40, 80].filter(function (n) { return n >= least && n < most; }).map(function (n) { return [String(n), fill(words.hoursOf, [n])]; }), words.any);
    }
    if (this.table.classList.contains("cards")) {
      var orders = this.heads.map(function (th, i) { return [me.headSlug(i), me.headText(i), th]; }).filter(function (o) { return o[2].hasAttribute("data-s"); });
      select("by", words.by, orders, words.asIs, function (value) {
        var at = orders.findIndex(function (o) { return o[0] === value; }), column = at < 0 ? -1 : me.heads.indexOf(orders[at][2]);
        me.sort(column, column >= 0 && me.falls(column));
      });
    }
    this.said = make("span");
    this.said.className = "said";
    this.said.setAttribute("role", "status");
    this.clear = make("button", words.clear);
    this.clear.type = "button";
    this.clear.className = "button";
    this.clear.hidden = true;
    this.clear.addEventListener("click", function () { me.set({}); me.apply(true); find.focus(); });
    if (more.firstChild) {
      more.id = "more-" + count;
      opener.setAttribute("aria-controls", more.id);
      tools.append(opener, more);
    }
    tools.append(this.clear, this.said);
    var before = this.table.parentNode.classList.contains("scroll") ? this.table.parentNode : this.table;
    before.before(tools);
    this.apply(false);
  };

  // Other names come from the list of all names, which is fetched once.
  Sheet.prototype.learnNames = function () {
    var me = this;
    if (this.learnt) { return; }
    this.learnt = true;
    window.ripeward.names(function (all) {
      all.forEach(function (n) { if (n[4]) { others[n[1] + "index.html"] = " " + n[4]; } });
      me.texts = null;
      if (me.controls.find.value.trim()) { me.apply(false); }
    });
  };

  Sheet.prototype.headText = function (i) {
    var th = this.heads[i].cloneNode(true);
    list(th.querySelectorAll("small")).forEach(function (s) { s.remove(); });
    return th.textContent.replace(/\s+/g, " ").trim();
  };
  Sheet.prototype.headSlug = function (i) { return slug(this.headText(i)); };

  // What is chosen now, as it stands in the address.
  Sheet.prototype.state = function () {
    var out = {}, c = this.controls;
    Object.keys(c).forEach(function (k) { if (k !== "by" && c[k].value.trim()) { out[k] = c[k].value.trim(); } });
    if (this.sorting) { out.by = this.sorting; }
    return out;
  };
  Sheet.prototype.set = function (state) {
    var c = this.controls;
    Object.keys(c).forEach(function (k) {
      c[k].value = state[k] || "";
      if (c[k].selectedIndex < 0) { c[k].value = ""; } // the address names what is not there
    });
    var by = state.by || "", at = this.heads.findIndex(function (th, i) { return this.headSlug(i) === by.replace(/^-/, "") && th.hasAttribute("data-s"); }, this);
    this.sort(at, by[0] === "-");
  };

  // Hides what does not fit the choice and says what is left.
  Sheet.prototype.apply = function (chosen) {
    if (this.said) {
      var me = this, c = this.controls, value = function (k) { return c[k] ? c[k].value : ""; };
      var find = plain(value("find")).split(/\s+/).filter(Boolean), crop = value("crop"), way = value(this.column);
      var hours = value("hours") ? Number(value("hours")) : Infinity, odds = Number(value("odds")) || (isFinite(hours) ? 8 : 0);
      if (find.length) {
        this.learnNames();
        this.texts = this.texts || this.rows.map(textOf);
      }
      var shown = 0, easiest = this.table.classList.contains("byway");
      var asked = this.ways.filter(function (i) { return !way || me.headSlug(i) === way; });
      this.rows.forEach(function (r, i) {
        var fits = find.every(function (w) { return me.texts[i].indexOf(w) >= 0; }) && (!crop || me.crops[i] === crop);
        if (fits && odds) {
          fits = asked.some(function (k) {
            var h = me.hours[i][me.ways.indexOf(k)];
            return level(r.cells[k]) >= odds && (!isFinite(hours) || h <= hours);
          });
          // The easiest of all ways to 8 in 10 may be none of those side by side.
          if (!fits && easiest && !way && odds <= 8) {
            var h = Number(r.cells[1].getAttribute("data-v"));
            fits = h < 100000 && h <= hours;
          }
        }
        r.hidden = !fits;
        if (fits) { shown += 1; }
        me.ways.forEach(function (k) { r.cells[k].hidden = asked.indexOf(k) < 0; });
      });
      this.ways.forEach(function (k) { me.heads[k].hidden = asked.indexOf(k) < 0; });
      var all = this.rows.length, told = fill(words.rows, [all]);
      if (shown !== all) { told = fill(counts.select(shown) === "one" ? words.oneOf : words.someOf, [shown, all]); }
      if (odds) { told = fill(isFinite(hours) ? words.atMost : words.atLeast, [told, odds, hours]); }
      this.said.textContent = told;
      this.clear.hidden = Object.keys(this.state()).length === 0;
    }
    if (chosen) { keep(this); }
    this.table.dispatchEvent(new Event("changed"));
  };

  Sheet.prototype.sortable = function () {
    var me = this;
    this.heads.forEach(function (th, column) {
      if (!th.hasAttribute("data-s")) { return; }
      var text = me.headText(column), link = th.querySelector("a"), b = make("button");
      b.type = "button";
      b.className = "sort";
      if (link) {
        b.setAttribute("aria-label", fill(words.sortBy, [text]));
      } else {
        while (th.firstChild) { b.append(th.firstChild); }
      }
      th.append(b);
      b.addEventListener("click", function () {
        var now = th.getAttribute("aria-sort");
        me.sort(column, now ? now === "ascending" : me.falls(column));
        me.apply(true);
      });
    });
  };
  // Numbers that are good when high begin with the highest.
  Sheet.prototype.falls = function (column) { return this.heads[column].getAttribute("data-s") === "n" && column > 1; };

  Sheet.prototype.sort = function (column, down) {
    var me = this, sorted = this.rows.slice();
    this.heads.forEach(function (h) { h.removeAttribute("aria-sort"); });
    this.sorting = "";
    if (column >= 0) {
      var kind = this.heads[column].getAttribute("data-s"), key = new Map();
      this.sorting = (down ? "-" : "") + this.headSlug(column);
      this.heads[column].setAttribute("aria-sort", down ? "descending" : "ascending");
      sorted.forEach(function (r) {
        var c = r.cells[column];
        key.set(r, kind === "t" ? plain(c.textContent) : parseFloat(c.getAttribute("data-v")));
      });
      sorted.sort(function (a, b) {
        var x = key.get(a), y = key.get(b), d = kind === "t" ? x.localeCompare(y, root.lang) : x - y;
        return down ? -d : d;
      });
    }
    sorted.forEach(function (r) { me.body.append(r); });
    if (this.controls.by) { this.controls.by.value = this.sorting.replace(/^-/, ""); }
  };

  // The address.
  function keep(sheet) {
    var p = new URLSearchParams(sheet.state()).toString(), hash = "#" + sheet.name + (p ? "?" + p : "");
    try { window.history.replaceState(null, "", hash); } catch (e) { window.location.hash = hash; }
    carry(p ? hash : "");
  }
  // Grids of other zones and ways of growing open with the same choice.
  function carry(hash) {
    if (!document.body.classList.contains("k-grid")) { return; }
    document.querySelectorAll(".onpage a").forEach(function (a) { a.setAttribute("href", a.getAttribute("href").replace(/#.*/, "") + hash); });
  }
  function restore() {
    var m = /^#([^?]+)\?(.*)$/.exec(window.location.hash);
    if (!m) { return; }
    tables.forEach(function (sheet) {
      if (sheet.name !== m[1]) { return; }
      var state = {};
      new URLSearchParams(m[2]).forEach(function (v, k) { state[k] = v; });
      sheet.set(state);
      sheet.apply(false);
      if (sheet.unfold && Object.keys(state).length) { sheet.unfold(true); }
      carry(window.location.hash);
      (document.getElementById(sheet.name) || sheet.table).scrollIntoView({ behavior: "instant" });
    });
  }

  // A grid is one stop of the Tab key; arrow keys move inside it, and a screen
  // reader says the headings of the cell.
  function keys(table) {
    table.setAttribute("role", "grid");
    table.querySelectorAll("a, button").forEach(function (e) { e.tabIndex = -1; });
    function stops(cell) {
      var inner = list(cell.querySelectorAll("a, button"));
      return inner.length ? inner : [cell];
    }
    function lines() {
      return list(table.rows).filter(function (r) { return !r.hidden; }).map(function (r) {
        return list(r.cells).filter(function (c) { return !c.hidden; });
      });
    }
    function current() { return table.querySelector("[tabindex='0']"); }
    function go(to, focus) {
      var now = current();
      if (now) { now.tabIndex = -1; }
      to.tabIndex = 0;
      if (focus) { to.focus(); }
    }
    function start() {
      var now = current(), all = lines();
      if (!now || !now.closest("tr") || now.closest("tr").hidden || now.closest("th, td").hidden) { go(stops(all[Math.min(1, all.length - 1)][0])[0], false); }
    }
    start();
    table.addEventListener("changed", start);
    table.addEventListener("focusin", function (e) {
      if (e.target !== current() && e.target !== table) { go(e.target, false); }
    });
    table.addEventListener("keydown", function (e) {
      if (e.altKey || e.metaKey || e.shiftKey) { return; }
      var all = lines(), cell = e.target.closest("th, td"), row = cell.parentNode;
      var y = all.findIndex(function (l) { return l[0].parentNode === row; }), line = all[y], x = line.indexOf(cell);
      var here = stops(cell), k = here.indexOf(e.target), to = null, end = all.length - 1;
      function at(j, i) { return stops(all[j][Math.min(i, all[j].length - 1)])[0]; }
      switch (e.key) {
        case "ArrowRight": to = k < here.length - 1 ? here[k + 1] : x < line.length - 1 ? at(y, x + 1) : null; break;
        case "ArrowLeft": to = k > 0 ? here[k - 1] : x > 0 ? stops(line[x - 1]).slice(-1)[0] : null; break;
        case "ArrowDown": to = y < end ? at(y + 1, x) : null; break;
        case "ArrowUp": to = y > 0 ? at(y - 1, x) : null; break;
        case "PageDown": to = at(Math.min(y + 10, end), x); break;
        case "PageUp": to = at(Math.max(y - 10, 0), x); break;
        case "Home": to = at(e.ctrlKey ? 0 : y, 0); break;
        case "End": to = at(e.ctrlKey ? end : y, Infinity); break;
        default: return;
      }
      e.preventDefault();
      if (to) { go(to, true); }
    });
    var hint = make("p", words.keys);
    hint.className = "quiet keys";
    hint.id = "keys-" + (document.querySelectorAll(".keys").length + 1);
    table.setAttribute("aria-describedby", hint.id);
    (table.parentNode.classList.contains("scroll") ? table.parentNode : table).after(hint);
  }

  // The first table is ready before it is seen; others follow one by one while
  // nothing else is to be done, and the one that the address names comes first.
  var idle = window.requestIdleCallback || function (f) { window.setTimeout(f, 50); };
  var coming = list(document.querySelectorAll("table[data-tools]")).filter(function (t) { return t.tBodies[0].rows.length > 1; }).map(function (t) {
    return { table: t, name: nameOf(t) };
  });
  function equip(next) { tables.push(new Sheet(next.table, next.name)); }
  function wanted() {
    var m = /^#([^?]+)\?/.exec(window.location.hash);
    coming = coming.filter(function (c) {
      if (!m || c.name !== m[1]) { return true; }
      equip(c);
      return false;
    });
    restore();
  }
  function more() {
    if (coming.length) {
      equip(coming.shift());
      idle(more);
    }
  }
  if (coming.length) { equip(coming.shift()); }
  wanted();
  idle(more);
  window.addEventListener("hashchange", wanted);
})();
