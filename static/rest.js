// Counts down the minute between two rounds, by the clock and not by counting: a device that
// slept is right when it wakes. It blocks nothing; without it the sentence stands alone.
(() => {
  function tick() {
    const rest = document.querySelector("#step [data-rest]");
    if (!rest) return;
    rest.until ??= Date.now() + 1000 * rest.dataset.rest;
    // A clock may be set back meanwhile: never more than the minute.
    const left = Math.min(Math.ceil((rest.until - Date.now()) / 1000), 60);
    rest.hidden = left <= 0;
    const seconds = String(left % 60).padStart(2, "0");
    rest.querySelector("strong").textContent = `${Math.floor(left / 60)}:${seconds}`;
  }
  setInterval(tick, 250);
  tick();
})();
