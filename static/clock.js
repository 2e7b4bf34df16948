/* Counts down to the next pour or break, and sounds when it is due. Times come from the server. */
"use strict";
(() => {
  let ahead = null;   // how far the server's clock is ahead of this device's, in ms
  let sounded = "";   // the call that has sounded
  let audio = null;

  const measure = (clock) => {
    if (clock.dataset.measured) return;
    clock.dataset.measured = "yes";
    ahead = Number(clock.dataset.now) - Date.now();
  };

  const beep = () => {
    if (!audio) return;
    const tone = audio.createOscillator();
    const volume = audio.createGain();
    tone.frequency.value = 880;
    volume.gain.setValueAtTime(0.4, audio.currentTime);
    volume.gain.exponentialRampToValueAtTime(0.001, audio.currentTime + 0.8);
    tone.connect(volume).connect(audio.destination);
    tone.start();
    tone.stop(audio.currentTime + 0.8);
  };

  const say = (left) => {
    if (left <= 0) return left > -1000 ? "now" : `now (${Math.floor(-left / 1000)} s ago)`;
    const seconds = Math.ceil(left / 1000);
    const minutes = Math.floor(seconds / 60);
    return minutes ? `in ${minutes}:${String(seconds % 60).padStart(2, "0")}` : `in ${seconds} s`;
  };

  const tick = () => {
    const clock = document.getElementById("clock");
    if (!clock) return;
    measure(clock);
    for (const one of clock.querySelectorAll("[data-due]")) {
      const left = Number(one.dataset.due) - Date.now() - ahead;
      const words = say(left);
      if (one.textContent !== words) one.textContent = words;
      one.closest(".clock-call").classList.toggle("due", left <= 0);
    }
    const first = clock.querySelector(".clock-first [data-due]");
    if (first && first.dataset.due !== sounded && Number(first.dataset.due) - Date.now() - ahead <= 0) {
      sounded = first.dataset.due;
      beep();
    }
  };

  // A browser lets a page sound only after somebody has touched it.
  document.addEventListener("click", () => {
    audio = audio || new AudioContext();
    audio.resume();
  });
  setInterval(tick, 250);
  tick();
})();
