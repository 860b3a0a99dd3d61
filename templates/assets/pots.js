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
    return dec ? s.replace(/\.?0+$/, "") : s;
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
  function litres(v) {
    return both(trim(v, 1) + "\u00a0L", v < GALLON ? trim(v / QUART, 1) + "\u00a0qt" : trim(v / GALLON, 1) + "\u00a0gal");
  }
  function kg(v) { return both(trim(v, 0) + "\u00a0kg", trim(v / POUND, 0) + "\u00a0lb"); }
  function grams(v) { return both(trim(v, v < 100 ? 1 : 0) + "\u00a0g", trim(v / OUNCE, 2) + "\u00a0oz"); }
  function put(id, parts) {
    var at = by(id);
    at.textContent = "";
    parts.forEach(function (p) { at.append(p); });
  }
  function many(count, word) { return count + " " + word + (count === 1 ? "" : "s"); }
  function potName(p) {
    var m = trim(p.litres, 1) + "\u00a0L", g = trim(p.litres / GALLON, 1) + "\u00a0gal";
    return us ? g + " (" + m + ")" : m + " (" + g + ")";
  }

  function tell() {
    var p = data.pots[Number(pot.value)], count = Math.min(9999, Math.max(1, Math.floor(Number(n.value) || 1))), total = p.litres * count;
    var parts = [many(count, "pot") + (count === 1 ? " takes " : " take "), litres(total), " of mix"];
    var m = data.mixes[Number(mix.value)];
    if (m) {
      parts.push(": ");
      m.parts.forEach(function (x, i) {
        if (i) { parts.push(i === m.parts.length - 1 ? " and " : ", "); }
        parts.push(litres(total * x.share), " " + x.name);
      });
    }
    parts.push(".");
    if (p.kg) { parts.push(" Wet, the mix of one pot weighs ", kg(p.kg), "."); }
    put("r-says-mix", parts);

    // One drenching is taken as the usable water of all pots.
    var f = data.feeds[Number(feed.value)], d = Number(dilution.value);
    if (f) {
      var water = p.usable * count, stock = d > 1;
      var says = ["For " + trim(f.ppm, 0) + "\u00a0ppm N: ", grams(f.grams * d), stock ? " in each litre of stock, given 1:" + d + "." : " in each litre of water."];
      if (water > 0) {
        says.push(" To wet " + many(count, "dry pot") + " takes about ", litres(water), ", with ", grams(f.grams * water), " of feed in it.");
      }
      put("r-says-feed", says);
    }

    var t = data.towns[Number(town.value)];
    if (t) {
      var e = t.et0[Number(month.value)], w;
      if (e === null || e === undefined || !p.canopy) {
        w = ["In " + data.months[Number(month.value)] + " a pot in " + t.name + " has no leaves to speak of, or nothing is known."];
      } else {
        var need = Math.max(0, e) * p.canopy;
        w = ["In " + data.months[Number(month.value)] + " each pot drinks about ", litres(need), " a day"];
        if (count > 1) { w.push(", all " + count + " together ", litres(need * count)); }
        w.push(".");
        if (p.usable && need > 0) {
          var days = p.usable / need;
          w.push(" A wet pot lasts " + (days >= 10 ? String(Math.floor(days)) : trim(days, 1)) + " days without rain.");
        }
      }
      if (t.start && t.stop) { w.push(" In " + t.name + " feed a plain pot from about " + t.start + " to " + t.stop + "."); }
      put("r-says-water", w);
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
