// The calculators of the page on pots: mix, feed and water, from reckon.js. The
// page's tables say the same without them.
(function () {
  "use strict";
  function by(id) { return document.getElementById(id); }
  var box = by("reckon"), data = window.ripewardPots;
  if (!box || !data || !data.pots.length) { return; }
  var GALLON = 3.785411784, QUART = 0.946352946, POUND = 0.45359237, OUNCE = 28.349523125;
  var us = document.documentElement.getAttribute("data-home") === "us";
  var pot = by("r-pot"), n = by("r-n"), mix = by("r-mix"), feed = by("r-feed"), dilution = by("r-dilution"), town = by("r-town"), month = by("r-month");

  function option(select, text, value) {
    var o = document.createElement("option");
    o.textContent = text;
    o.value = String(value);
    select.append(o);
  }
  function trim(v, dec) {
    var s = v.toFixed(dec);
    return (dec ? s.replace(/\.?0+$/, "") : s).replace(".", say(".|the decimal mark"));
  }
  var plurals = new Intl.PluralRules(document.documentElement.lang);
  function single(v) { return plurals.select(v) === "one"; }
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
  function litres(v) {
    return both(trim(v, 1) + "\u00a0L", v < GALLON ? trim(v / QUART, 1) + "\u00a0qt" : trim(v / GALLON, 1) + "\u00a0gal");
  }
  function kg(v) { return both(trim(v, 0) + "\u00a0kg", trim(v / POUND, 0) + "\u00a0lb"); }
  function grams(v) { return both(trim(v, v < 100 ? 1 : 0) + "\u00a0g", trim(v / OUNCE, 2) + "\u00a0oz"); }
  // Puts values, which may be elements, at the places #1, #2 ... of a sentence.
  function fill(text, values) {
    return text.split(/(#\d)/).map(function (part) { return /^#\d$/.test(part) ? values[part.charAt(1) - 1] : part; });
  }
  function put(id, sentences) {
    var at = by(id);
    at.textContent = "";
    sentences.forEach(function (parts, i) {
      if (i) { at.append(" "); }
      parts.forEach(function (p) { at.append(p); });
    });
  }
  function potName(p) {
    var m = trim(p.litres, 1) + "\u00a0L", g = trim(p.litres / GALLON, 1) + "\u00a0gal";
    return us ? g + " (" + m + ")" : m + " (" + g + ")";
  }

  function tell() {
    var p = data.pots[Number(pot.value)], count = Math.min(9999, Math.max(1, Math.floor(Number(n.value) || 1))), total = p.litres * count;
    var m = data.mixes[Number(mix.value)], says = [];
    if (m) {
      var list = document.createElement("span");
      m.parts.forEach(function (x, i) {
        if (i) { list.append(i === m.parts.length - 1 ? say(" and |parts of a mix") : say(", |parts of a mix")); }
        fill(say("#1 #2|litres of a part of a mix"), [litres(total * x.share), x.name]).forEach(function (p) { list.append(p); });
      });
      says.push(fill(single(count) ? say("#1 pot takes #2 of mix: #3.") : say("#1 pots take #2 of mix: #3."), [count, litres(total), list]));
    } else {
      says.push(fill(single(count) ? say("#1 pot takes #2 of mix.") : say("#1 pots take #2 of mix."), [count, litres(total)]));
    }
    if (p.kg) { says.push(fill(say("Wet, the mix of one pot weighs #1."), [kg(p.kg)])); }
    put("r-says-mix", says);

    // One drenching is taken as the usable water of all pots.
    var f = data.feeds[Number(feed.value)], d = Number(dilution.value);
    if (f) {
      var water = p.usable * count, strength = trim(f.ppm, 0) + "\u00a0ppm N", weight = grams(f.grams * d);
      says = [d > 1 ? fill(say("For #1: #2 in each litre of stock, given 1:#3."), [strength, weight, d]) : fill(say("For #1: #2 in each litre of water."), [strength, weight])];
      if (water > 0) {
        says.push(fill(single(count) ? say("To wet #1 dry pot takes about #2, with #3 of feed in it.") : say("To wet #1 dry pots takes about #2, with #3 of feed in it."), [count, litres(water), grams(f.grams * water)]));
      }
      put("r-says-feed", says);
    }

    var t = data.towns[Number(town.value)];
    if (t) {
      var e = t.et0[Number(month.value)], name = data.months[Number(month.value)];
      if (e === null || e === undefined || !p.canopy) {
        says = [fill(say("In #1 a pot in #2 has no leaves to speak of, or nothing is known."), [name, t.name])];
      } else {
        var need = Math.max(0, e) * p.canopy;
        if (count > 1) {
          says = [fill(say("In #1 each pot drinks about #2 a day, all #3 together #4."), [name, litres(need), count, litres(need * count)])];
        } else {
          says = [fill(say("In #1 each pot drinks about #2 a day."), [name, litres(need)])];
        }
        if (p.usable && need > 0) {
          var days = p.usable / need, shown = days >= 10 ? Math.floor(days) : Math.round(days * 10) / 10;
          says.push(fill(single(shown) ? say("A wet pot lasts #1 day without rain.") : say("A wet pot lasts #1 days without rain."), [trim(shown, 1)]));
        }
      }
      if (t.start && t.stop) { says.push(fill(say("In #1 feed a plain pot from about #2 to #3."), [t.name, t.start, t.stop])); }
      put("r-says-water", says);
    }
  }

  data.pots.forEach(function (p, i) { option(pot, potName(p), i); });
  data.mixes.forEach(function (m, i) { option(mix, m.name, i); });
  data.feeds.forEach(function (f, i) { option(feed, f.name + ", " + trim(f.ppm, 0) + "\u00a0ppm N", i); });
  data.towns.forEach(function (t, i) { option(town, t.name, i); });
  data.months.forEach(function (m, i) { option(month, m, i); });
  pot.value = String(Math.floor(data.pots.length / 2));
  var first = data.towns.length ? data.towns[0].et0 : [], best = 0;
  first.forEach(function (v, i) { if (v !== null && (first[best] === null || v > first[best])) { best = i; } });
  month.value = String(best);
  [["mix", data.mixes], ["feed", data.feeds], ["water", data.towns]].forEach(function (x) {
    if (x[1].length) { box.querySelectorAll("[data-part=" + x[0] + "]").forEach(function (e) { e.hidden = false; }); }
  });
  [pot, mix, feed, dilution, town, month].forEach(function (s) { s.addEventListener("change", tell); });
  n.addEventListener("input", tell);
  tell();
  document.querySelectorAll(".only-script").forEach(function (e) { e.hidden = false; });
})();
