// Where a page comes from a web server: the web manifest and the service
// worker, neither of which may be asked for from a plain folder.
(function () {
  "use strict";
  var script = document.currentScript;
  if (!script || !/^http/.test(window.location.protocol)) { return; }
  var root = script.src.replace(/assets\/[^\/]*$/, "");

  // Each language has a manifest beside its first page, which the brand leads
  // to; the worker at the top serves them all.
  var link = document.createElement("link"), brand = document.querySelector(".brand a");
  link.rel = "manifest";
  link.href = (brand ? brand.href.replace(/[^\/]*$/, "") : root) + "app.webmanifest";
  document.head.appendChild(link);

  var workers = null;
  try { workers = navigator.serviceWorker; } catch (e) { /* not allowed here */ }
  if (!workers) { return; }
  // Until a worker is there it cannot note what is opened: it is told.
  var untold = !workers.controller;
  window.addEventListener("load", function () {
    workers.register(root + "worker.js").then(function () { return workers.ready; }).then(function (registration) {
      if (!untold || !registration.active) { return; }
      var used = performance.getEntriesByType("resource").map(function (r) { return r.name; });
      registration.active.postMessage({ keep: [window.location.href].concat(used).filter(function (a) { return a.indexOf(root) === 0; }) });
    }).catch(function () { /* a private window: the site works without */ });
  });

  // The page that stands in for one that is not kept: another try at it, and
  // a list of those that are.
  var list = document.getElementById("kept-pages");
  if (!list || !window.caches) { return; }
  var wanted = window.location.hash.slice(1);
  if (/^[\w\/.-]+$/.test(wanted) && wanted.indexOf("..") < 0) {
    var again = document.getElementById("try-again");
    again.href = root + wanted;
    again.parentNode.hidden = false;
  }
  caches.keys().then(function (names) {
    var ours = names.filter(function (n) { return n.indexOf("ripeward " + root.replace(/^[a-z]+:\/\/[^\/]*/, "") + " ") === 0; });
    return Promise.all(ours.map(function (n) { return caches.open(n).then(pages); }));
  }).then(function (all) {
    all = all.flat();
    var mine = document.documentElement.lang;
    all.sort(function (a, b) { return (b.lang === mine) - (a.lang === mine) || a.text.localeCompare(b.text, mine); });
    all.forEach(function (p) {
      var li = document.createElement("li"), a = document.createElement("a");
      a.href = p.href;
      a.textContent = p.text;
      if (p.lang !== mine) { a.lang = a.hreflang = p.lang; }
      li.appendChild(a);
      list.appendChild(li);
    });
    list.parentNode.hidden = all.length === 0;
  });

  function pages(cache) {
    return cache.keys().then(function (requests) {
      var kept = requests.map(function (r) { return r.url; }).filter(function (a) { return /\.html$/.test(a) && !/\/offline\.html$/.test(a); });
      return Promise.all(kept.map(function (a) {
        return cache.match(a).then(function (r) { return r.text(); }).then(function (text) {
          var page = new DOMParser().parseFromString(text.slice(0, 4000), "text/html"), title = page.title;
          var club = page.querySelector("meta[property='og:site_name']"), end = " – " + (club ? club.content : "");
          if (title.slice(-end.length) === end) { title = title.slice(0, -end.length); }
          return { href: a, text: title || a.slice(root.length), lang: page.documentElement.lang };
        });
      }));
    });
  }
})();
