// Where a page comes from a web server: the web manifest and the service
// worker, neither of which may be asked for from a plain folder.
(function () {
  "use strict";
  var script = document.currentScript;
  if (!script || !/^http/.test(window.location.protocol)) { return; }
  var root = script.src.replace(/assets\/[^\/]*$/, "");

  var link = document.createElement("link");
  link.rel = "manifest";
  link.href = root + "app.webmanifest";
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
  var here = root + "offline.html";
  caches.keys().then(function (names) {
    var ours = names.filter(function (n) { return n.indexOf("ripeward " + root.replace(/^[a-z]+:\/\/[^\/]*/, "") + " ") === 0; });
    return Promise.all(ours.map(function (n) { return caches.open(n).then(pages); }));
  }).then(function (all) {
    all = all.flat();
    all.sort(function (a, b) { return a.text.localeCompare(b.text, document.documentElement.lang); });
    all.forEach(function (p) {
      var li = document.createElement("li"), a = document.createElement("a");
      a.href = p.href;
      a.textContent = p.text;
      li.appendChild(a);
      list.appendChild(li);
    });
    list.parentNode.hidden = all.length === 0;
  });

  function pages(cache) {
    return cache.keys().then(function (requests) {
      var kept = requests.map(function (r) { return r.url; }).filter(function (a) { return /\.html$/.test(a) && a !== here; });
      return Promise.all(kept.map(function (a) {
        return cache.match(a).then(function (r) { return r.text(); }).then(function (text) {
          var title = new DOMParser().parseFromString(text.slice(0, 4000), "text/html").title;
          var end = " – " + list.getAttribute("data-club");
          if (title.slice(-end.length) === end) { title = title.slice(0, -end.length); }
          return { href: a, text: title || a.slice(root.length) };
        });
      }));
    });
  }
})();
