// Times a shuffle by the clock and not by counting: the moment it began is kept on the device,
// so a reload or a sleep changes nothing. Without it the form works, and nobody knows how long.
(() => {
  const ENOUGH = 20; // seconds
  const PLACE = `oddcup shuffle ${location.pathname.split("/")[2]}`; // {serving, begun, ended}
  const find = () => document.querySelector("#step [data-shuffle]");
  const servingOf = (box) => box.closest("form").elements.serving.value;
  let told = ""; // which hint was shown: with the second tap it goes on
  let rang = true, sound;

  function load(box) {
    try {
      const kept = JSON.parse(localStorage.getItem(PLACE));
      return kept?.serving === servingOf(box) ? kept : {};
    } catch { // forbidden, or not ours
      return box.kept ?? {};
    }
  }

  function save(box, kept) {
    box.kept = { serving: servingOf(box), ...kept };
    try {
      localStorage.setItem(PLACE, JSON.stringify(box.kept));
    } catch { /* then it is right until the page is left */ }
  }

  function measure({ begun, ended }) {
    if (!begun) return null;
    return Math.max(0, Math.floor(((ended ?? Date.now()) - begun) / 1000));
  }

  // The eyes are closed: enough is heard and felt where the device can do that. Some devices
  // make a sound only if the tap that began had opened it.
  function open() {
    try {
      sound ??= new AudioContext();
      sound.resume();
    } catch { /* silent */ }
  }

  function ring() {
    navigator.vibrate?.(400);
    try {
      const tone = sound.createOscillator();
      tone.connect(sound.destination);
      tone.start();
      tone.stop(sound.currentTime + 0.4);
    } catch { /* silent */ }
  }

  function tick() {
    const box = find();
    if (!box) return;
    const kept = load(box), seconds = measure(kept), running = seconds !== null && !kept.ended;
    box.hidden = false;
    box.querySelector("[data-begin]").hidden = running;
    box.querySelector("[data-end]").hidden = !running;
    box.querySelector("output").textContent = seconds ?? 0;
    box.classList.toggle("enough", seconds >= ENOUGH);
    const hint = seconds >= ENOUGH ? box.dataset.enough : box.dataset[told] ?? "";
    const line = box.querySelector("[data-hint]");
    if (line.textContent !== hint) line.textContent = hint; // it is read out
    if (running && seconds >= ENOUGH && !rang) ring();
    rang = !running || seconds >= ENOUGH;
  }

  function press({ target }) {
    const box = find();
    if (!box?.contains(target)) return;
    if (target.matches("[data-end]")) end(box);
    if (target.matches("[data-begin]")) {
      save(box, { begun: Date.now() });
      told = "";
      open();
    }
    tick();
  }

  function end(box) {
    const kept = load(box);
    if (kept.begun && !kept.ended) save(box, { ...kept, ended: Date.now() });
    const seconds = measure(load(box));
    told = seconds === null ? "untimed" : seconds < ENOUGH ? "short" : "";
  }

  // Before ballot.js hears of it: what was short, or not timed, is sent with the second tap.
  function check(event) {
    const box = find();
    if (!box || box.closest("form") !== event.target) return;
    const before = told;
    end(box);
    event.target.elements.seconds.value = measure(load(box)) ?? "";
    if (told && told !== before) {
      event.preventDefault();
      event.stopImmediatePropagation();
    } else told = "";
    tick();
  }

  document.addEventListener("click", press);
  document.addEventListener("submit", check, true);
  setInterval(tick, 250);
  tick();
})();
