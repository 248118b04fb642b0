// Brings the row to go on with into view after a part of the page was exchanged, and
// says it where nothing could be sent. Without this script the page works all the same.
(() => {
  "use strict";

  const say = (text) => {
    const place = document.getElementById("sending");
    if (place) place.textContent = text;
  };

  document.addEventListener("htmx:beforeRequest", () => say(""));

  document.addEventListener("htmx:sendError", () =>
    say("Not sent: no connection. Nothing is lost here; press again where there is one."));

  document.addEventListener("htmx:responseError", (event) =>
    say(`Not stored (answer ${event.detail.xhr.status}): open the list again and look.`));

  document.addEventListener("htmx:afterSettle", () => {
    const at = document.getElementById("doing")?.dataset.at;
    const row = at ? document.getElementById(at) : null;
    if (!row) return;
    row.focus({ preventScroll: true });
    row.scrollIntoView({ block: "start" });
  });
})();
