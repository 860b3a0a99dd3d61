// Sets the reader's units and theme before the first paint. Nothing here is
// needed to read the page.
(function () {
  "use strict";
  var root = document.documentElement;
  function kept(key) {
    try { return window.localStorage.getItem("ripeward-" + key); } catch (e) { return null; }
  }
  var units = kept("units");
  if (units !== "m" && units !== "u" && units !== "b") {
    units = root.getAttribute("data-home") === "us" ? "u" : "m";
  }
  root.setAttribute("data-units", units);
  var theme = kept("theme");
  if (theme === "light" || theme === "dark") { root.setAttribute("data-theme", theme); }
  root.setAttribute("data-scripts", "yes");
  // Room is kept for what scripts will show; a position is given to safe
  // addresses only.
  if (window.isSecureContext && window.location.protocol !== "file:" && navigator.geolocation) { root.setAttribute("data-position", "yes"); }
})();
