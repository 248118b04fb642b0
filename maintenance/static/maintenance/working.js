// Says that it works while a form that takes seconds is on its way. Without this script
// the form is sent all the same.
(() => {
  "use strict";

  const told = (form) => form.querySelector("[data-working]");

  document.addEventListener("submit", (event) => {
    const place = told(event.target);
    if (!place) return;
    place.textContent = place.dataset.working;
    for (const button of event.target.querySelectorAll("button")) {
      // After the form is gathered: a button that is off sends no value.
      setTimeout(() => { button.disabled = true; }, 0);
    }
  });

  // A page that comes back from the browser's store works no more.
  addEventListener("pageshow", (event) => {
    if (!event.persisted) return;
    for (const place of document.querySelectorAll("[data-working]")) place.textContent = "";
    for (const button of document.querySelectorAll("main form button")) button.disabled = false;
  });
})();
