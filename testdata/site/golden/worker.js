const SITE = {"version":"71a6c347ebcbd5a4","first":["index.html","offline.html","assets/almanac.05e6296f28.js","assets/almanac.b4a71f61d6.css","assets/compare.fad8073d39.js","assets/early.ed17accabd.js","assets/figlets.867f903ba3.js","assets/find.dfc0a7e61b.js","assets/garden.1011660d42.js","assets/icon.e790b76bd0.svg","assets/names.f258c26e85.js","assets/planner.7208a57e75.js","assets/pots.8d3f670fdb.js","assets/tables.8110fa3899.js"],"away":{"":"offline.html"}};
// The site's service worker: it keeps what a reader has opened for times
// without a connection. A line before this one, written with the site, sets
//   SITE.version  other whenever a page or an asset is
//   SITE.first    what is kept from the start, seen from the site's folder
//   SITE.away     the page that stands in for one that is not kept, by the
//                 folder of each language ("" and "fr/")
//   SITE.lost     the page for what is not there, if it must be shown at its
//                 own address
// Nothing outside the site's own folder is touched or asked for.
(function () {
  "use strict";
  const scope = self.registration.scope;
  // Several sites may share one host, and with it one set of caches.
  const family = "ripeward " + new URL(scope).pathname + " ";
  const current = family + SITE.version;
  const MOST = 120; // pages kept beside the first ones
  const PATIENCE = 4000; // ms that a kept page waits for the network's

  // A page is kept under one address: no query, no place, a folder as its
  // index.html.
  function key(address) {
    const u = new URL(address, scope);
    u.search = "";
    u.hash = "";
    if (u.pathname.endsWith("/")) { u.pathname += "index.html"; }
    return u.href;
  }

  // What an address is to us: an asset whose name changes with its bytes, a
  // page or its data, or nothing.
  function kind(address) {
    const at = key(address);
    if (!at.startsWith(scope)) { return ""; }
    const path = at.slice(scope.length);
    if (/^assets\/[^/]+\.[0-9a-f]{10}\.[a-z0-9]+$/.test(path)) { return "asset"; }
    if (/^([a-z]{2}\/)?towns\/[^/]+\/ripeward-[^/]+\.html$/.test(path)) { return ""; } // made to be carried away
    return /\.(html|js)$/.test(path) ? "page" : "";
  }

  const first = new Set(SITE.first.map(key));
  const languages = Object.keys(SITE.away).sort((a, b) => b.length - a.length);
  function awayOf(at) {
    const path = at.slice(scope.length);
    return key(SITE.away[languages.find((l) => path.startsWith(l))]);
  }
  const aways = new Set(Object.values(SITE.away).map(key));

  async function store(cache, address, response) {
    // A browser takes no redirected answer for a page, so it is made plain.
    const plain = response.redirected
      ? new Response(await response.blob(), { status: response.status, headers: response.headers })
      : response;
    await cache.put(key(address), plain);
  }

  async function take(cache, address) {
    const response = await fetch(key(address), { cache: "no-cache" });
    if (!response.ok) { throw new Error(address + ": " + response.status); }
    await store(cache, address, response);
  }

  async function takeAll(cache, addresses) {
    for (let i = 0; i < addresses.length; i += 4) {
      await Promise.all(addresses.slice(i, i + 4).map((a) => take(cache, a).catch(() => {})));
    }
  }

  // Pages kept, oldest first, without those kept from the start.
  async function pagesIn(cache) {
    const kept = (await cache.keys()).map((r) => r.url);
    return kept.filter((a) => kind(a) === "page" && !first.has(a));
  }

  async function trim(cache) {
    const kept = await pagesIn(cache);
    await Promise.all(kept.slice(0, Math.max(0, kept.length - MOST)).map((a) => cache.delete(a)));
  }

  async function others() {
    return (await caches.keys()).filter((n) => n.startsWith(family) && n !== current);
  }

  // A new site takes the first files, and fetches anew what the reader had of
  // the old one: its pages ask for assets that are going away.
  async function install() {
    const cache = await caches.open(current);
    await Promise.all(SITE.first.map((a) => take(cache, a)));
    for (const name of await others()) {
      const had = await pagesIn(await caches.open(name));
      await takeAll(cache, had.slice(-MOST));
    }
    await self.skipWaiting();
  }

  async function activate() {
    await Promise.all((await others()).map((n) => caches.delete(n)));
    await self.clients.claim();
  }

  async function asset(event) {
    const cache = await caches.open(current);
    const kept = await cache.match(key(event.request.url));
    if (kept) { return kept; }
    const response = await fetch(event.request);
    if (response.ok) { event.waitUntil(cache.put(key(event.request.url), response.clone()).catch(() => {})); }
    return response;
  }

  function late() {
    return new Promise((_, fail) => setTimeout(() => fail(new Error("late")), PATIENCE));
  }

  // The network's page, noted on the way.
  async function fresh(event, cache) {
    const response = await fetch(event.request);
    const at = event.request.url;
    if (response.ok) {
      event.waitUntil(store(cache, at, response.clone()).then(() => trim(cache)).catch(() => {}));
    } else if (response.status === 404 || response.status === 410) {
      event.waitUntil(cache.delete(key(at)));
      if (SITE.lost && event.request.mode === "navigate" && key(at) !== key(SITE.lost)) {
        return Response.redirect(key(SITE.lost));
      }
    }
    return response;
  }

  async function page(event) {
    const cache = await caches.open(current);
    const at = key(event.request.url);
    const kept = await cache.match(at);
    const coming = fresh(event, cache);
    event.waitUntil(coming.catch(() => {}));
    try {
      const response = await (kept ? Promise.race([coming, late()]) : coming);
      if (!kept || response.status < 500) { return response; }
    } catch (e) { /* no network: what is kept must do */ }
    if (kept) { return kept; }
    if (event.request.mode === "navigate" && !aways.has(at)) {
      return Response.redirect(awayOf(at) + "#" + at.slice(scope.length));
    }
    return Response.error();
  }

  self.addEventListener("install", (event) => event.waitUntil(install()));
  self.addEventListener("activate", (event) => event.waitUntil(activate()));
  self.addEventListener("fetch", (event) => {
    if (event.request.method !== "GET") { return; }
    const what = kind(event.request.url);
    if (what === "asset") { event.respondWith(asset(event)); }
    if (what === "page") { event.respondWith(page(event)); }
  });

  // The page that was open before this worker was asks to be kept too.
  self.addEventListener("message", (event) => {
    const asked = event.data && event.data.keep;
    if (!Array.isArray(asked)) { return; }
    const ours = asked.slice(0, 20).map(String).filter((a) => kind(a) !== "");
    event.waitUntil(caches.open(current).then((cache) => takeAll(cache, ours)));
  });
})();
