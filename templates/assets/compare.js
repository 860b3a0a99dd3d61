// Up to three towns, or three cultivars, side by side. What is chosen stands
// in the address after the "#" (#towns=a,b&town-way=pot); the
// figures of each come from a small file of their own, fetched as a script when
// they are wanted, so that the page works from a plain folder too.
(function () {
  "use strict";
  var page = document.getElementById("compare"), names = window.ripewardNames || [], waiting = {}, have = {};
  if (!page) { return; }

  window.ripewardCompare = function (key, data) {
    have[key] = data;
    (waiting[key] || []).forEach(function (f) { f(data); });
    delete waiting[key];
  };
  function load(key, then) {
    if (have[key]) { then(have[key]); return; }
    if (waiting[key]) { waiting[key].push(then); return; }
    waiting[key] = [then];
    var s = document.createElement("script");
    s.src = key + ".js";
    s.addEventListener("error", function () { window.ripewardCompare(key, { name: key, missing: true, facts: [], odds: [] }); });
    document.head.append(s);
  }

  function make(tag, text, name) {
    var e = document.createElement(tag);
    if (name) { e.className = name; }
    if (text) { e.textContent = text; }
    return e;
  }
  // A value is a text, or one in each system of units.
  function put(cell, value) {
    if (typeof value === "string") { cell.textContent = value || "–"; return; }
    value.forEach(function (v) {
      if (typeof v === "string") { cell.append(v); return; }
      if (v.u !== undefined) { cell.append(make("span", v.m, "m"), make("span", " " + v.u, "u")); return; }
      var a = make("a", v.text);
      a.href = "../" + v.to;
      cell.append(a);
    });
  }
  // Odds: a level 0-10 as the letter a-k, "-" for none.
  function oddsCell(code, title) {
    var n = code ? code.charCodeAt(0) - 97 : -1;
    if (n < 0) { return labelled(make("td", "–", "o none"), title); }
    var td = make("td", "", "o y" + n);
    td.append(make("b", n === 0 ? say("under 1") : n === 10 ? say("over 9") : String(n)), "\u00a0" + say("in\u00a010"));
    return labelled(td, title);
  }
  function labelled(td, title) {
    td.setAttribute("data-l", title);
    td.setAttribute("role", "cell");
    return td;
  }

  function Side(kind) {
    var me = this;
    this.kind = kind;
    this.box = document.getElementById("side-" + kind);
    this.picks = Array.prototype.slice.call(this.box.querySelectorAll("select[data-pick]"));
    this.way = this.box.querySelector("select[data-way]");
    this.out = this.box.querySelector(".side-by-side");
    var groups = {}, one = kind === "towns" ? "town" : "cultivar";
    names.forEach(function (n) {
      if (n[0] !== one) { return; }
      var id = n[1].split("/")[1];
      (groups[n[3]] = groups[n[3]] || []).push([id, n[2]]);
    });
    this.picks.forEach(function (p) {
      Object.keys(groups).forEach(function (g) {
        var group = document.createElement("optgroup");
        group.label = g;
        groups[g].forEach(function (o) {
          var e = make("option", o[1]);
          e.value = o[0];
          group.append(e);
        });
        p.append(group);
      });
      p.addEventListener("change", function () { me.show(); keep(); });
    });
    this.way.addEventListener("change", function () { me.show(); keep(); });
  }
  Side.prototype.chosen = function () {
    var out = [];
    this.picks.forEach(function (p) { if (p.value && out.indexOf(p.value) < 0) { out.push(p.value); } });
    return out;
  };
  Side.prototype.set = function (ids, way) {
    this.picks.forEach(function (p, i) {
      p.value = ids[i] || "";
      if (p.selectedIndex < 0) { p.value = ""; }
    });
    this.way.value = way || "";
    if (this.way.selectedIndex < 0 || !way) { this.way.selectedIndex = 0; }
    this.show();
  };
  Side.prototype.show = function () {
    var me = this, ids = this.chosen(), got = [], turn = this.turn = (this.turn || 0) + 1;
    if (!ids.length) { this.out.textContent = ""; return; }
    ids.forEach(function (id, i) {
      load(me.kind + "/" + id, function (d) {
        got[i] = d;
        if (got.filter(Boolean).length === ids.length && turn === me.turn) { me.draw(ids, got); }
      });
    });
  };
  Side.prototype.draw = function (ids, all) {
    var me = this, table = make("table", "", "beside n" + ids.length), head = make("thead"), tr = make("tr"), body = make("tbody");
    table.append(make("caption", this.out.getAttribute("data-caption")));
    tr.append(make("td", "", "corner"));
    all.forEach(function (d, i) {
      var th = make("th"), a = make("a", d.name, "target");
      th.scope = "col";
      a.href = "../" + me.kind + "/" + ids[i] + "/index.html";
      th.append(a);
      tr.append(th);
    });
    head.append(tr);
    table.append(head, body);
    var order = [];
    all.forEach(function (d) { d.facts.forEach(function (f) { if (order.indexOf(f[0]) < 0) { order.push(f[0]); } }); });
    order.forEach(function (name) {
      row(name, all.map(function (d) {
        var f = d.facts.filter(function (x) { return x[0] === name; })[0], td = make("td");
        put(td, f ? f[1] : "");
        return td;
      }));
    });
    // Odds by the way of growing that is chosen.
    var way = this.way.selectedIndex, keys = [], links = {};
    all.forEach(function (d) { d.odds.forEach(function (o) { if (!links[o[0]]) { keys.push(o[0]); links[o[0]] = o[1]; } }); });
    if (keys.length) {
      var sep = make("tr", "", "band"), th = make("th", this.out.getAttribute("data-odds").replace("#", this.way.selectedOptions[0].textContent));
      th.colSpan = ids.length + 1;
      th.scope = "rowgroup";
      sep.append(th);
      body.append(sep);
    }
    keys.forEach(function (key) {
      var first = make("span");
      put(first, [{ text: key, to: links[key] }]);
      row(first, all.map(function (d) {
        var o = d.odds.filter(function (x) { return x[0] === key; })[0];
        return oddsCell(o ? o[2][way] : "", d.name);
      }));
    });
    function row(name, cells) {
      var r = make("tr"), th = make("th");
      th.scope = "row";
      th.append(name);
      r.append(th);
      cells.forEach(function (c, i) { r.append(labelled(c, all[i].name)); });
      body.append(r);
    }
    // Cards on a phone stay a table for screen readers.
    table.setAttribute("role", "table");
    [["thead, tbody", "rowgroup"], ["tr", "row"], ["thead th", "columnheader"], ["tbody th", "rowheader"], ["thead td", "cell"]].forEach(function (x) {
      table.querySelectorAll(x[0]).forEach(function (e) { e.setAttribute("role", x[1]); });
    });
    this.out.textContent = "";
    this.out.append(table);
  };

  var sides = [new Side("towns"), new Side("cultivars")];
  function keep() {
    var parts = [], ways = [];
    sides.forEach(function (s) {
      var ids = s.chosen();
      if (ids.length) { parts.push(s.kind + "=" + ids.join(",")); }
      if (ids.length && s.way.selectedIndex > 0) { ways.push(s.kind.replace(/s$/, "") + "-way=" + s.way.value); }
    });
    var hash = "#" + parts.concat(ways).join("&");
    try { window.history.replaceState(null, "", hash); } catch (e) { window.location.hash = hash; }
  }
  function restore() {
    var p = new URLSearchParams(window.location.hash.slice(1)), any = false;
    sides.forEach(function (s) {
      var ids = (p.get(s.kind) || "").split(",").filter(Boolean).slice(0, 3);
      s.set(ids, p.get(s.kind.replace(/s$/, "") + "-way"));
      any = any || ids.length > 0;
    });
    if (any && !p.get("towns")) { sides[1].box.scrollIntoView({ behavior: "instant" }); }
  }
  page.querySelectorAll(".only-script").forEach(function (e) { e.hidden = false; });
  restore();
  window.addEventListener("hashchange", restore);
})();
