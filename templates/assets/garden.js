// One garden of its own, from reckon.js of its town: what one report says of
// the garden and what that does to the odds, and how cold mornings compare
// with the record. Nothing is sent anywhere. The page is whole without it.
(function () {
  "use strict";
  var data = window.ripewardGarden;
  if (!data || !window.ripeward) { return; }
  var root = document.documentElement, lang = root.lang, us = root.getAttribute("data-home") === "us";
  function by(id) { return document.getElementById(id); }

  // Arithmetic. It knows nothing of the page.

  // The distribution function of the standard normal, to 7.5e-8 (Abramowitz
  // and Stegun 26.2.17).
  function phi(x) {
    if (x < 0) { return 1 - phi(-x); }
    if (x > 8) { return 1; }
    var t = 1 / (1 + 0.2316419 * x);
    return 1 - Math.exp(-x * x / 2) / Math.sqrt(2 * Math.PI) * t * (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + t * 1.330274429))));
  }
  // The scatter of a report about the need of its garden, °C·d: the year's, the
  // doubt of the need, and that of a start told by the plan.
  function noise(line) { return Math.hypot(line.year, line.se, data.start); }
  // What is believed of a garden: weights of garden effects z, in standard
  // deviations between gardens, z > 0 a cool one. Before any report z is a
  // standard normal; seen.heat is what the tree had on the day its first fruit
  // was ripe (less all delays), or, where seen.not, at a look at which none was.
  function belief(line, seen) {
    var b = { z: [], w: [], mean: 0, low: 0, high: 0 }, sum = 0, s = seen ? noise(line) : 1, k;
    for (k = -120; k <= 120; k++) {
      var z = k / 20, w = Math.exp(-z * z / 2);
      if (seen) {
        var d = (line.mu + z * line.garden - seen.heat) / s;
        w *= seen.not ? phi(d) : Math.exp(-d * d / 2);
      }
      b.z.push(z);
      b.w.push(w);
      sum += w;
    }
    var run = 0;
    b.low = b.high = null;
    for (k = 0; k < b.z.length; k++) {
      b.w[k] /= sum;
      b.mean += b.w[k] * b.z[k];
      var before = run;
      run += b.w[k];
      // A node stands for the step around it.
      if (b.low === null && run >= 0.05) { b.low = b.z[k] - 0.025 + 0.05 * (0.05 - before) / b.w[k]; }
      if (b.high === null && run >= 0.95) { b.high = b.z[k] - 0.025 + 0.05 * (0.95 - before) / b.w[k]; }
    }
    return b;
  }
  // A garden whose effect is taken as known.
  function spot(z) { return { z: [z], w: [1], mean: z, low: z, high: z }; }
  // The share of the reference years in which fruit ripens: SCIENCE's odds, the
  // garden's scatter put in the place of the standing one.
  function odds(line, way, b) {
    var need = line.mu + line.delay + way.extra, kill = way.kills && way.kills[way.kill[line.kind]], y = Math.max(line.year, 1e-6), sum = 0;
    way.heat.forEach(function (heat, i) {
      if (line.old && way.lost.charAt(i) === "1") { return; }
      var dead = kill ? parseInt(kill.substr(2 * i, 2), 16) / 100 : 0;
      for (var k = 0; k < b.z.length; k++) {
        if (b.w[k] < 1e-9) { continue; }
        var gap = heat - need - b.z[k] * line.garden, p = (1 - dead) * phi(gap / y);
        if (dead && !line.old) { p += dead * phi((gap - line.dieback) / y); }
        sum += b.w[k] * p;
      }
    });
    return sum / way.heat.length;
  }
  var DAY = 864e5, LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  function number(iso) {
    var p = iso.split("-");
    return Math.round(Date.UTC(Number(p[0]), Number(p[1]) - 1, Number(p[2])) / DAY);
  }
  // Heat of a season by the end of a day, °C·d.
  function heatOn(season, iso) {
    var sum = 0, n = number(iso) - number(season.from);
    for (var i = 0; i <= n && i < season.gain.length; i++) { sum += LETTERS.indexOf(season.gain.charAt(i)); }
    return sum / 2;
  }
  function seasonOf(iso) { return Number(iso.slice(0, 4)) - (data.south && Number(iso.slice(5, 7)) < 7 ? 1 : 0); }
  // What a report says: its heat, or why it says nothing.
  function look(line, way, iso, not) {
    var season = way.seasons.filter(function (s) { return s.year === seasonOf(iso); })[0];
    if (!season) { return { no: "unknown" }; }
    if (line.old && season.lost) { return { no: "lost" }; }
    var raw = heatOn(season, iso);
    // A look in the evening leaves the day's heat behind; fruit first seen
    // ripe had half of it.
    if (!not) { raw = (raw + heatOn(season, new Date((number(iso) - 1) * DAY).toISOString().slice(0, 10))) / 2; }
    var seen = { heat: raw - line.delay - way.extra, raw: raw, not: not, year: season.year };
    var far = (seen.heat - line.mu) / Math.hypot(line.garden, noise(line));
    if (!not && raw <= 0) { seen.no = "early"; } else if (far > 3.5 || !not && far < -3.5) { seen.no = "far"; }
    return seen;
  }
  // Quantile 0.95 of Student's t, from 2 degrees of freedom on (NIST/SEMATECH
  // e-Handbook of Statistical Methods, 1.3.6.7.2).
  var T95 = [2.92, 2.353, 2.132, 2.015, 1.943, 1.895, 1.86, 1.833];
  // Mean of differences, its standard error and how far it may be off.
  function mornings(diffs) {
    var n = diffs.length, mean = 0, sq = 0;
    diffs.forEach(function (d) { mean += d / n; });
    diffs.forEach(function (d) { sq += (d - mean) * (d - mean); });
    if (n < 3) { return { n: n, mean: mean }; }
    var se = Math.sqrt(sq / (n - 1) / n);
    return { n: n, mean: mean, se: se, off: se * T95[Math.min(n, 10) - 3] };
  }
  window.ripeward.garden = { belief: belief, spot: spot, odds: odds, look: look, mornings: mornings, T95: T95 };

  // Words.
  function num(v, dec) {
    var s = (Math.abs(v) < 0.5 * Math.pow(10, -dec) ? 0 : v).toLocaleString(lang, { minimumFractionDigits: dec, maximumFractionDigits: dec });
    return s.replace("-", "\u2212");
  }
  function mark(text) {
    var i = document.createElement("i");
    i.textContent = text;
    return i;
  }
  // Both spellings of a figure, as the rest of the page has them.
  function both(metric, american) {
    var f = document.createDocumentFragment(), a = document.createElement("span"), b = document.createElement("span");
    a.className = us ? "u" : "m";
    b.className = us ? "m" : "u";
    a.textContent = us ? american : metric;
    b.append(" ", mark("("), us ? metric : american, mark(")"));
    f.append(a, b);
    return f;
  }
  // Heat is told to 5 °C·d: nobody knows it better.
  function heat(v) { v = 5 * Math.round(v / 5); return both(num(v, 0) + "\u00a0°C·d", num(1.8 * v, 0) + "\u00a0°F·d"); }
  function degrees(v) { return both(num(v, 1) + "\u00a0°C", num(1.8 * v, 1) + "\u00a0°F"); }
  // A sentence with its values in the place of "#".
  function fill(text, values) {
    var f = document.createDocumentFragment();
    text.split("#").forEach(function (part, i) {
      if (i) { f.append(values[i - 1]); }
      f.append(part);
    });
    return f;
  }
  function put(id, parts) {
    var at = by(id);
    at.textContent = "";
    (parts || []).forEach(function (p, i) { at.append(i ? " " : "", p); });
  }
  function option(select, text, value) {
    var o = document.createElement("option");
    o.textContent = text;
    o.value = value;
    select.append(o);
  }
  function level(s) {
    var n = Math.round(s * 100);
    return n >= 95 ? 10 : n < 5 ? 0 : Math.floor((n + 5) / 10);
  }
  function dated(iso) {
    return new Date(number(iso) * DAY).toLocaleDateString(lang === "en" ? "en-GB" : lang, { day: "numeric", month: "long", year: "numeric", timeZone: "UTC" });
  }

  // What is entered stays on the device, and only if the reader says so.
  var keep = by("own-keep"), parts = [], place = "ripeward-garden-" + data.town;
  function stored() {
    try { return JSON.parse(window.localStorage.getItem(place)) || {}; } catch (e) { return {}; }
  }
  function store() {
    var all = {};
    parts.forEach(function (p) { all[p.name] = p.read(); });
    try {
      if (keep.checked) { window.localStorage.setItem(place, JSON.stringify(all)); } else { window.localStorage.removeItem(place); }
    } catch (e) { /* a private window keeps nothing */ }
  }
  var kept = stored();
  keep.checked = Object.keys(kept).length > 0;
  keep.addEventListener("change", store);

  // My tree.
  function tree(box) {
    var line = by("tree-line"), way = by("tree-way"), know = by("tree-know"), day = by("tree-day"), show = by("tree-show");
    data.lines.forEach(function (l) {
      if (data.ways.some(function (w) { return w.crop === l.crop; })) { option(line, l.name, l.id); }
    });
    function lineNow() { return data.lines.filter(function (l) { return l.id === line.value; })[0]; }
    function wayOf(select, crop) { return data.ways.filter(function (w) { return w.crop === crop && w.id === select.value; })[0]; }
    function ways() {
      var l = lineNow();
      [way, show].forEach(function (s) {
        var before = s.value;
        s.textContent = "";
        data.ways.forEach(function (w) { if (w.crop === l.crop) { option(s, w.name, w.id); } });
        s.value = before;
        if (s.selectedIndex < 0) { s.selectedIndex = 0; }
      });
    }
    // The book's own odds of a line: in all gardens, a cool one, a warm one.
    function book(l, w, which) { return w.book[l.id] ? w.book[l.id][which] / 100 : null; }
    function refusal(l, w, seen) {
      switch (seen.no) {
        case "lost": return say("By the almanac’s weather a freeze took the shoots that bear brebas that spring: take another year.");
        case "early": return say("By the almanac’s weather that tree was hardly in leaf by then: look at the day and the way of growing again.");
        case "far": return say("That lies so far from what this cultivar needs that the almanac would ask before it counts: look at cultivar, way and day again.");
      }
      var years = w.seasons.map(function (s) { return s.year; });
      return years.length ? say("The almanac has the daily heat of the seasons # to # for this way of growing.").replace("#", Math.min.apply(null, years)).replace("#", Math.max.apply(null, years)) : say("The almanac has no season to compare with for this way of growing.");
    }
    // What the report says of the garden.
    function garden(l, b, seen) {
      var shift = -b.mean * l.garden, low = -b.high * l.garden, high = -b.low * l.garden, out = [], band;
      if (low > 0) {
        band = fill(say("somewhere between # and # warmer, 9 chances in 10"), [heat(low), heat(high)]);
      } else if (high < 0) {
        band = fill(say("somewhere between # and # cooler, 9 chances in 10"), [heat(-high), heat(-low)]);
      } else {
        band = fill(say("somewhere between # cooler and # warmer, 9 chances in 10"), [heat(-low), heat(high)]);
      }
      if (shift >= 2.5) {
        out.push(fill(say("One report moves the almanac a little: your garden looks about # warmer than the middle one (#)."), [heat(shift), band]));
      } else if (shift <= -2.5) {
        out.push(fill(say("One report moves the almanac a little: your garden looks about # cooler than the middle one (#)."), [heat(-shift), band]));
      } else {
        out.push(fill(say("By that report your garden is much like the middle one (#)."), [band]));
      }
      // Three more dates: the year and its start average out, the doubt of the
      // need stays.
      var s2 = l.se * l.se + (l.year * l.year + data.start * data.start) / 4, g2 = l.garden * l.garden;
      out.push(fill(say("With three more years of dates it will know better: then to about # either way."), [heat(1.645 * Math.sqrt(g2 * s2 / (g2 + s2)))]));
      return out;
    }
    function why(l, seen) {
      var own = l.garden * l.garden, weight = num(100 * own / (own + Math.pow(noise(l), 2)), 0);
      if (seen.not) {
        return fill(say("By that day the tree had had #; in the middle garden the first fruit needs #. None ripe says only that your garden asks for more than it got, so it can never look warmer for it."), [heat(seen.raw), heat(l.mu + seen.raw - seen.heat)]);
      }
      return fill(say("By that day the tree had had #; in the middle garden the first fruit needs #. The almanac puts # parts in a hundred of the difference down to the garden, the rest to the year, the start of the season and its own doubt."), [heat(seen.raw), heat(l.mu + seen.raw - seen.heat), weight]);
    }
    function tell() {
      var l = lineNow(), w = wayOf(way, l.crop), k = know.value, report = k === "ripe" || k === "not";
      by("tree-when").hidden = !report;
      var b = null, site = { open: 0, hollow: 1, wall: 2 }[k], seen = null;
      put("tree-garden");
      put("tree-why");
      if (!report) {
        b = [belief(l, null), spot(1.28), spot(-1.28)][site];
        if (site) {
          put("tree-why", [fill(k === "wall" ? say("A wall is taken as the almanac’s warm garden, # warmer than the middle one for this cultivar: judgement. A report of your own says more.") : say("A hollow is taken as the almanac’s cool garden, # cooler than the middle one for this cultivar: judgement. A report of your own says more."), [heat(1.28 * l.garden)])]);
        } else {
          put("tree-why", [say("With nothing known of your garden the odds are those across all gardens. Choose what you know, and they move.")]);
        }
      } else if (day.value) {
        seen = look(l, w, day.value, k === "not");
        if (seen.no) { put("tree-garden", [refusal(l, w, seen)]); } else {
          b = belief(l, seen);
          put("tree-garden", garden(l, b, seen));
          put("tree-why", [why(l, seen)]);
        }
      }
      function yours(x, v) { return site !== undefined && book(x, v, site) !== null ? book(x, v, site) : odds(x, v, b); }
      var usual = book(l, w, 0);
      if (b && usual !== null) {
        var here = data.words[level(yours(l, w))], all = data.words[level(usual)];
        put("tree-odds", [here === all ? fill(say("#, #: # in your garden, as across all gardens here."), [l.name, w.phrase, here]) : fill(say("#, #: # in your garden, # across all gardens here."), [l.name, w.phrase, here, all])]);
      } else { put("tree-odds", [report && !day.value ? say("Choose the day.") : ""]); }
      box.setAttribute("data-shift", b ? String(-b.mean * l.garden) : "");
      table(l, b, yours);
    }
    function table(l, b, yours) {
      var w = wayOf(show, l.crop), body = by("tree-table").tBodies[0], rows = [];
      body.textContent = "";
      data.lines.forEach(function (x) {
        if (x.crop === l.crop && book(x, w, 0) !== null) { rows.push([x, book(x, w, 0), b ? yours(x, w) : null]); }
      });
      rows.sort(function (p, q) { return q[1] - p[1] || q[2] - p[2]; });
      rows.forEach(function (r) {
        var tr = document.createElement("tr"), th = document.createElement("th");
        th.scope = "row";
        th.textContent = r[0].name;
        tr.append(th);
        r.slice(1).forEach(function (v) {
          var td = document.createElement("td");
          td.className = v === null ? "g none" : "g y" + level(v);
          td.textContent = v === null ? "–" : data.short[level(v)];
          if (v !== null) { td.setAttribute("data-v", v.toFixed(3)); }
          tr.append(td);
        });
        tr.setAttribute("data-line", r[0].id);
        body.append(tr);
      });
    }
    parts.push({ name: "tree", read: function () { return { line: line.value, way: way.value, know: know.value, day: day.value, show: show.value }; } });
    var old = kept.tree || {};
    function set(s, v) { if (v) { s.value = v; if (s.selectedIndex < 0) { s.selectedIndex = 0; } } }
    set(line, old.line);
    ways();
    // Begin with the way of growing that the page's first table has open.
    var open = document.querySelector("table[id^='spots-']"), first = open ? open.id.slice(6) : "";
    [way, show].forEach(function (s) { set(s, first); });
    if (!old.line) {
      // and with the line for which the garden matters most.
      var most = null, w = data.ways.filter(function (x) { return x.id === way.value && x.crop === lineNow().crop; })[0];
      data.lines.forEach(function (l) {
        var o = w.book[l.id];
        if (o && (!most || o[2] - o[1] > w.book[most.id][2] - w.book[most.id][1])) { most = l; }
      });
      if (most) { line.value = most.id; }
    }
    set(way, old.way);
    set(show, old.show || old.way);
    set(know, old.know);
    day.value = old.day || "";
    line.addEventListener("change", ways);
    way.addEventListener("change", function () { show.value = way.value; });
    [line, way, know, day, show].forEach(function (e) { e.addEventListener("change", function () { tell(); store(); }); });
    tell();
  }

  // My cold mornings.
  function nights(box) {
    var n = data.nights, unit = by("morning-unit"), body = by("mornings").tBodies[0], rows = [];
    unit.value = us ? "f" : "c";
    function shown(c) { return (unit.value === "f" ? 1.8 * c + 32 : c).toFixed(1); }
    function read(input) {
      var v = parseFloat(input.value);
      return input.value.trim() === "" || isNaN(v) ? null : unit.value === "f" ? (v - 32) / 1.8 : v;
    }
    // The town's low of a night in the record, °C, or null.
    function recorded(iso) {
      var i = iso ? number(iso) - number(n.from) : -1;
      return i >= 0 && i < n.lows.length && n.lows[i] !== null ? n.lows[i] / 10 : null;
    }
    for (var i = 0; i < 10; i++) {
      var tr = document.createElement("tr"), row = {};
      [["day", "date", say("Morning #: the day")], ["own", "number", say("Morning #: my low")], ["theirs", "number", say("Morning #: the station’s low")]].forEach(function (c) {
        var td = document.createElement("td"), input = document.createElement("input");
        input.type = c[1];
        if (c[1] === "number") { input.step = "0.1"; }
        input.setAttribute("aria-label", c[2].replace("#", String(i + 1)));
        td.append(input);
        tr.append(td);
        row[c[0]] = input;
      });
      body.append(tr);
      rows.push(row);
    }
    // Fills in what the record has of a night, and takes it away again.
    function fillIn(r) {
      var low = recorded(r.day.value);
      if (low !== null) { r.theirs.value = shown(low - n.shift); } else if (r.theirs.readOnly) { r.theirs.value = ""; }
      r.theirs.readOnly = low !== null;
    }
    function frost(d, k) {
      var at = -d, f = n.freeze[k];
      for (var j = 0; j < 3; j++) {
        if (at <= n.at[j] && at >= n.at[j + 1] && f[j] !== null && f[j + 1] !== null) {
          var rank = f[j] + (f[j + 1] - f[j]) * (n.at[j] - at) / (n.at[j] - n.at[j + 1]);
          return k ? Math.floor(rank) : Math.ceil(rank);
        }
      }
      return null;
    }
    // A day of season as the page writes days.
    function dayWords(rank) {
      var d = new Date(Date.UTC(2001, data.south ? 6 : 0, 1) + (rank - 1) * DAY);
      return (d.getUTCDate() === 1 ? n.first : d.getUTCDate()) + "\u00a0" + n.months[d.getUTCMonth()];
    }
    function tell() {
      var diffs = [];
      rows.forEach(function (r) {
        var own = read(r.own), low = recorded(r.day.value), theirs = read(r.theirs);
        if (low === null && theirs !== null) { low = theirs + n.shift; }
        if (own !== null && low !== null) { diffs.push(own - low); }
      });
      var m = mornings(diffs), more = 10 - m.n, one = new Intl.PluralRules(lang).select(more) === "one";
      ["data-n", "data-mean", "data-se", "data-off"].forEach(function (a) { box.setAttribute(a, String(m[a.slice(5)])); });
      ["morning-mean", "morning-band", "morning-frost", "morning-club"].forEach(function (id) { put(id); });
      if (!m.n) { put("morning-mean", [say("Fill in a morning: the day, your low, and the station’s where the record does not have it.")]); return; }
      var size = degrees(Math.abs(m.mean));
      put("morning-mean", [Math.abs(m.mean) < 0.05 ? say("On these mornings your garden was just as cold as the almanac has it.") :
        m.mean < 0 ? fill(say("On these mornings your garden was # colder than the almanac has it."), [size]) : fill(say("On these mornings your garden was # warmer than the almanac has it."), [size])]);
      var band = [];
      if (m.n < 3) { band.push(say("So few mornings tell no error.")); } else {
        band.push(fill(say("The true mean lies between # and #, 9 chances in 10 (standard error #); less than 0 is colder."), [degrees(m.mean - m.off), degrees(m.mean + m.off), degrees(m.se)]));
        if (Math.abs(m.mean) < m.off) { band.push(say("That may still be no difference at all.")); }
      }
      if (more > 0) { band.push((one ? say("# more morning makes ten.") : say("# more mornings make ten.")).replace("#", num(more, 0))); }
      put("morning-band", band);
      if (m.n < 3) { return; }
      var spring = frost(m.mean, 0), autumn = frost(m.mean, 1), usual = [frost(0, 0), frost(0, 1)];
      if (spring !== null && autumn !== null && usual[0] !== null && usual[1] !== null) {
        put("morning-frost", [fill(say("If your freezing nights differ as much, then roughly, read between the almanac’s own thresholds: the last freeze of spring comes after # in 1 year in 10 (for the town, after #), the first of autumn before # (for the town, before #)."), [dayWords(spring), dayWords(usual[0]), dayWords(autumn), dayWords(usual[1])])]);
      }
      var value = document.createElement("code");
      value.textContent = "night_offset_c = " + (m.mean + n.offset).toFixed(1);
      put("morning-club", [fill(say("What to tell the club: a row for your garden in its table of towns, like the row of # but with #."), [data.name, value])]);
    }
    parts.push({ name: "nights", read: function () {
      return { unit: unit.value, rows: rows.map(function (r) { return [r.day.value, r.own.value, r.theirs.readOnly ? "" : r.theirs.value]; }) };
    } });
    var old = kept.nights || {};
    if (old.unit === "c" || old.unit === "f") { unit.value = old.unit; }
    (old.rows || []).slice(0, 10).forEach(function (v, i) { rows[i].day.value = v[0]; rows[i].own.value = v[1]; rows[i].theirs.value = v[2]; });
    rows.forEach(function (r) {
      fillIn(r);
      r.day.addEventListener("change", function () { fillIn(r); tell(); store(); });
      [r.own, r.theirs].forEach(function (e) { e.addEventListener("input", function () { tell(); store(); }); });
    });
    var was = unit.value;
    unit.addEventListener("change", function () {
      // What stands there keeps its meaning.
      rows.forEach(function (r) {
        [r.own, r.theirs].forEach(function (e) {
          var v = parseFloat(e.value);
          if (!isNaN(v)) { e.value = shown(was === "f" ? (v - 32) / 1.8 : v); }
        });
      });
      was = unit.value;
      tell();
      store();
    });
    tell();
  }

  if (by("tree") && data.lines.length) { tree(by("tree")); }
  if (by("morning-box") && data.nights) { nights(by("morning-box")); }
  document.querySelectorAll(".only-script").forEach(function (e) { e.hidden = false; });
})();
