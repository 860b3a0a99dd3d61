// Finding: results as links while typing, from the list of names that stands in
// a file of its own, fetched when a field is entered, and the town nearest to
// the reader.
// Nothing is sent and nothing is kept; pages list everything without it.
//
// A name is [kind, folder, name, note, other names, latitude, longitude].
(function () {
  "use strict";
  var names = [], folded = [], plain = window.ripeward.plain, most = 12;
  // The way from this page to the top of the site is that to this script.
  var top = document.currentScript.getAttribute("src").replace(/assets\/[^\/]*$/, "");

  // Ways of fitting, best first: the whole name, its beginning, the beginning
  // of one of its words, the beginning of another name, anywhere, one letter
  // off. Lower is better; -1 does not fit.
  function fit(word, main, other, note) {
    if (main === word) { return 0; }
    if (main.indexOf(word) === 0) { return 1; }
    if ((" " + main.replace(/-/g, " ")).indexOf(" " + word) >= 0) { return 2; }
    if ((" " + other.replace(/[|-]/g, " ")).indexOf(" " + word) >= 0) { return 3; }
    if (main.indexOf(word) >= 0) { return 4; }
    if ((" " + note).indexOf(" " + word) >= 0) { return 5; }
    var near = word.length > 3 && (main + " " + other).split(/[ |-]+/).some(function (w) { return oneOff(word, w.slice(0, word.length + 1)) || oneOff(word, w.slice(0, word.length)); });
    return near ? 6 : -1;
  }
  // One letter changed, added, left out, or two neighbours exchanged.
  function oneOff(a, b) {
    var i = 0, j = 0;
    while (i < a.length && i < b.length && a[i] === b[i]) { i += 1; }
    while (j < a.length - i && j < b.length - i && a[a.length - 1 - j] === b[b.length - 1 - j]) { j += 1; }
    var x = a.length - i - j, y = b.length - i - j;
    return x <= 1 && y <= 1 || x === 2 && y === 2 && a[i] === b[i + 1] && a[i + 1] === b[i];
  }
  // Calls back with the names at hand.
  function ready(then) {
    window.ripeward.names(function (all) {
      if (!names.length) {
        names = all;
        folded = names.map(function (n) { return [plain(n[2]), plain(n[4] || ""), plain(n[3] || "")]; });
      }
      then();
    });
  }

  function search(text, kinds) {
    var typed = plain(text).trim(), words = typed.split(/[\s-]+/).filter(Boolean), found = [];
    if (!words.length) { return found; }
    names.forEach(function (n, i) {
      var kind = kinds.indexOf(n[0]), sum = 0;
      if (kind < 0) { return; }
      var f = folded[i];
      var all = words.every(function (w) {
        var s = fit(w, f[0], f[1], f[2]);
        sum += s;
        return s >= 0;
      });
      if (!all) { return; }
      if (f[0] === typed) { sum = -1; } else if (f[0].indexOf(typed) === 0) { sum = Math.min(sum, 0.5); }
      found.push({ name: n, rank: sum / words.length + kind / 100 });
    });
    // What is one letter off is shown only where nothing else fits.
    var sure = found.filter(function (x) { return x.rank < 5.9; });
    return (sure.length ? sure : found).sort(function (a, b) { return a.rank - b.rank || a.name[2].localeCompare(b.name[2]); });
  }

  // Kilometres along a great circle of a sphere of 6,371 km (haversine).
  function distance(lat1, lon1, lat2, lon2) {
    var r = Math.PI / 180, a = Math.sin((lat2 - lat1) * r / 2), b = Math.sin((lon2 - lon1) * r / 2);
    return 12742 * Math.asin(Math.sqrt(Math.min(1, a * a + Math.cos(lat1 * r) * Math.cos(lat2 * r) * b * b)));
  }

  function item(list, name, note) {
    var li = document.createElement("li"), a = document.createElement("a");
    a.href = top + name[1] + "index.html";
    a.className = "target";
    a.textContent = name[2];
    li.append(a);
    if (note) {
      var s = document.createElement("small");
      s.append.apply(s, [].concat(note));
      li.append(" ", s);
    }
    list.append(li);
  }
  // Which of the other names was meant.
  function meant(name, text) {
    var words = plain(text).split(/[\s-]+/).filter(Boolean), main = plain(name[2]);
    if (words.every(function (w) { return main.indexOf(w) >= 0; })) { return ""; }
    return (name[4] || "").split("|").filter(function (o) {
      return words.some(function (w) { return (" " + plain(o).replace(/-/g, " ")).indexOf(" " + w) >= 0; });
    })[0] || "";
  }

  document.querySelectorAll("[data-finder]").forEach(function (box) {
    var kinds = box.getAttribute("data-finder").split(" "), input = box.querySelector("input"), said = box.querySelector(".said"), list = box.querySelector(".found");
    function tell(key, n) { said.textContent = key ? (box.getAttribute("data-" + key) || "").replace("#", n) : ""; }
    function show() { ready(result); }
    function result() {
      var found = search(input.value, kinds);
      list.textContent = "";
      found.slice(0, most).forEach(function (x) {
        var n = x.name, other = meant(n, input.value);
        item(list, n, (other ? other + " · " : "") + (n[3] || ""));
      });
      tell(!plain(input.value).trim() ? "" : !found.length ? "none" : found.length === 1 ? "one" : "many", found.length);
    }
    input.addEventListener("focus", function () { ready(function () { /* at hand when the first letter comes */ }); });
    input.addEventListener("input", function () {
      if (box.hasAttribute("data-keep")) {
        try { window.history.replaceState(null, "", input.value.trim() ? "#find=" + encodeURIComponent(input.value.trim()) : "#"); } catch (e) { /* the address stays */ }
      }
      show();
    });
    box.addEventListener("keydown", function (e) {
      var links = Array.prototype.slice.call(list.querySelectorAll("a")), at = links.indexOf(document.activeElement);
      if (e.key === "Enter" && e.target === input && links.length) { links[0].click(); }
      if (e.key !== "ArrowDown" && e.key !== "ArrowUp" || !links.length) { return; }
      e.preventDefault();
      at += e.key === "ArrowDown" ? 1 : -1;
      (at < 0 ? input : links[Math.min(at, links.length - 1)]).focus();
    });
    if (box.hasAttribute("data-keep")) {
      var restore = function () {
        var m = /^#find=(.*)$/.exec(window.location.hash);
        if (m) {
          try { input.value = decodeURIComponent(m[1]); } catch (e) { return; }
          show();
        }
      };
      restore();
      window.addEventListener("hashchange", restore);
    }
    near(box, tell, list);
    box.hidden = false;
  });

  // The nearest towns. A position is asked for when the button is pressed, and
  // browsers give one to safe addresses only.
  function near(box, tell, list) {
    var button = box.querySelector("[data-near]");
    // Where no town has a place there is no map either.
    if (!button || !document.documentElement.hasAttribute("data-position") || !document.querySelector(".where")) { return; }
    button.parentNode.hidden = false;
    button.addEventListener("click", function () {
      list.textContent = "";
      tell("wait");
      navigator.geolocation.getCurrentPosition(function (p) { ready(function () {
        var towns = names.filter(function (n) { return n[0] === "town" && n.length > 6; });
        if (!towns.length) { tell("nowhere"); return; }
        var sorted = towns.map(function (n) { return { n: n, km: distance(p.coords.latitude, p.coords.longitude, n[5], n[6]) }; });
        sorted.sort(function (a, b) { return a.km - b.km; });
        list.textContent = "";
        sorted.slice(0, 3).forEach(function (x) { item(list, x.n, both(x.km)); });
        tell(sorted[0].km > 100 ? "far" : "nearby");
      }); }, function () { tell("nowhere"); }, { maximumAge: 600000, timeout: 20000 });
    });
  }
  // A distance in both systems; the style sheet shows the reader's.
  function both(km) {
    return [["m", km, "km"], ["u", km / 1.609344, "mi"]].map(function (x) {
      var s = document.createElement("span");
      s.className = x[0];
      s.textContent = x[1].toLocaleString(document.documentElement.lang, { minimumFractionDigits: x[1] < 10 ? 1 : 0, maximumFractionDigits: x[1] < 10 ? 1 : 0 }) + "\u00a0" + x[2] + " ";
      return s;
    });
  }
})();
