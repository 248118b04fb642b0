/* A sheet of a test counts what it sends, so that an older answer never comes last, and
   tells the clock of this machine when it is signed. Without this file it still works. */
(() => {
  "use strict";
  const sheet = document.getElementById("sheet");
  if (!sheet) return;
  const tell = (text) => {
    const place = document.getElementById("saved");
    if (place) place.textContent = text;
  };
  sheet.addEventListener("input", () => {
    sheet.elements.count.value = String(Number(sheet.elements.count.value) + 1);
    tell("");
  }, true);
  sheet.addEventListener("submit", () => {
    sheet.elements.device_time.value = new Date().toISOString();
  });
  for (const fault of ["htmx:sendError", "htmx:timeout", "htmx:responseError"]) {
    document.body.addEventListener(fault, () => {
      tell("Not saved: no answer from the server. What you typed is still here; press Save.");
    });
  }
  /* A link to a folded part opens it. */
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='#']");
    const place = link && document.getElementById(link.hash.slice(1));
    const fold = place && place.closest("details");
    if (fold) fold.open = true;
  });
})();
