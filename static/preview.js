// A preview looks as its scales do at the seat where scripts run; it is inert all the same.
(() => {
  function draw() {
    for (const preview of document.querySelectorAll("[data-preview]:not([data-drawn])")) {
      preview.dataset.drawn = "";
      preview.querySelectorAll("fieldset.value").forEach((one) => scoreScales.enhance(one, preview.dataset));
    }
  }

  new MutationObserver(draw).observe(document.querySelector("main"), { childList: true, subtree: true });
  draw();
})();
