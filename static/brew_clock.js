/* The clock of a brew. The server says when it began and what time it is there; only differences
   are taken on this device, so a wrong clock, a reload or a sleep changes nothing. A tap that
   cannot leave waits here with its moment, and is sent with how long ago it was. */
"use strict";
(() => {
  const KEPT = `oddcup taps ${location.pathname}`; // [{fields, at}], in the order of the taps
  const SOUND = "oddcup brew sound";
  let ahead = 0;      // how far the server's clock is ahead of this device's, in ms
  const TWICE = 600;  // a wet finger taps twice: within so many ms it is one tap
  let sending = false, audio = null, sounded = "", tapped = -TWICE;

  const timer = () => document.getElementById("timer");
  const find = (id) => document.getElementById(id);
  const list = () => {
    try { return JSON.parse(sessionStorage.getItem(KEPT)) ?? []; } catch { return []; }
  };
  const keep = (taps) => sessionStorage.setItem(KEPT, JSON.stringify(taps));
  const read = (text) => (text === undefined ? null : Number(text));
  const write = (seconds) => {
    const all = Math.abs(seconds);
    return `${seconds < 0 ? "−" : ""}${Math.floor(all / 60)}:${String(all % 60).padStart(2, "0")}`;
  };
  const rows = () => [...timer().querySelectorAll("tr[data-place]")];
  const since = (moment) => Math.max(0, Math.floor((moment + ahead - timer().dataset.started) / 1000));

  // ---- what has been tapped, on this page before the server knows it
  function apply({ fields, at }) {
    const box = timer(), { tap, last } = fields;
    const row = rows().find((one) => one.dataset.place === (tap === "undo" ? last : tap));
    const done = row ?? rows().find((one) => one.dataset.kind === "end");
    const ends = tap === "end" || row?.dataset.kind === "end";
    if (fields.shots) {
      find("shots").textContent = fields.shots;
      find("shots-less").value = Number(fields.shots) - 1;
      find("shots-more").value = Number(fields.shots) + 1;
    } else if (tap === "start") {
      box.dataset.started ??= at + ahead;
      const [first] = rows();
      if (first?.dataset.kind === "pour" && first.dataset.at === "0") first.dataset.done ??= 0;
    } else if (tap === "undo" && last === "start") {
      delete box.dataset.started;
      rows().forEach((one) => delete one.dataset.done);
    } else if (tap === "undo") {
      if (last === "end") delete box.dataset.ended;
      if (done) delete done.dataset.done;
    } else if (tap !== undefined && box.dataset.started) {
      if (ends) box.dataset.ended ??= since(at);
      if (done && (row || ends)) done.dataset.done ??= since(at);
    }
  }

  const findPresent = () => rows().findLast((one) => one.dataset.done !== undefined);
  const findNext = () => rows()[rows().indexOf(findPresent()) + 1];
  const tell = (row) => row.querySelector("th").firstChild.textContent.trim();

  function nameLast() {
    if (timer().dataset.ended !== undefined) return "end";
    const done = rows().filter((one) => one.dataset.done !== undefined);
    done.sort((one, other) => one.dataset.done - other.dataset.done);
    const begins = done.length === 1 && done[0].dataset.place === "0" && done[0].dataset.done === "0";
    if (done.length && !begins) return done.at(-1).dataset.place;
    return timer().dataset.started ? "start" : "";
  }

  // ---- what is seen and heard
  const put = (element, words) => { if (element && element.textContent !== words) element.textContent = words; };
  const hide = (element, hidden) => { if (element) element.hidden = hidden; };

  function show() {
    const box = timer(), started = box.dataset.started !== undefined;
    const ended = read(box.dataset.ended), running = started && ended === null;
    const next = findNext();
    for (const row of rows()) {
      const done = read(row.dataset.done);
      put(row.querySelector(".brew-done"), done === null ? "" : write(done));
      const apart = done === null ? 0 : done - row.dataset.at;
      put(row.querySelector(".brew-apart"), done === null ? "" : (apart < 0 ? "" : "+") + write(apart));
      hide(row.querySelector("button"), !running || done !== null);
    }
    hide(find("start-button"), started);
    hide(find("end-button"), !running);
    hide(find("next"), !running || !next);
    const last = nameLast();
    if (find("undo")) find("undo").value = last;
    hide(find("undo"), !last);
    if (next) {
      put(find("next-words"), tell(next));
      put(find("now-words"), findPresent() ? tell(findPresent()) : "water on");
      if (find("next-button")) find("next-button").value = next.dataset.place;
    }
  }

  function tick() {
    const box = timer();
    if (!box || box.dataset.started === undefined) return;
    const now = since(Date.now()), ended = read(box.dataset.ended);
    put(box.querySelector(".brew-clock"), write(ended ?? now));
    const next = findNext();
    if (!next || ended !== null || !find("next-due")) return;
    const left = next.dataset.at - now;
    put(find("next-due"), left > 0 ? `in ${write(left)}` : left ? `now, ${write(-left)} late` : "now");
    find("next").classList.toggle("due", left <= 0);
    if (left <= 0 && sounded !== next.dataset.place) call(next.dataset.place);
  }

  function call(place) {
    sounded = place;
    if (!audio) return; // nobody has touched the page yet
    navigator.vibrate?.([200, 100, 200]);
    if (!find("sound").checked) return;
    document.body.dataset.sounded = place;
    const tone = audio.createOscillator(), volume = audio.createGain();
    tone.frequency.value = 740;
    volume.gain.setValueAtTime(0.5, audio.currentTime);
    volume.gain.exponentialRampToValueAtTime(0.001, audio.currentTime + 0.9);
    tone.connect(volume).connect(audio.destination);
    tone.start();
    tone.stop(audio.currentTime + 0.9);
  }

  // ---- sending
  function take(html) {
    const fresh = new DOMParser().parseFromString(html, "text/html").getElementById("timer");
    if (!fresh) return false;
    if (timer().querySelector("details[open]")) return true; // somebody types there
    const focused = timer().contains(document.activeElement) && document.activeElement.id;
    timer().replaceWith(document.adoptNode(fresh));
    begin();
    if (focused) (find(focused)?.hidden === false ? find(focused) : find("next-button"))?.focus();
    return true;
  }

  async function send() {
    if (sending || !timer()) return;
    sending = true;
    let html = "";
    for (let one = list()[0]; one; one = list()[0]) {
      const ago = Math.max(0, (Date.now() - one.at) / 1000).toFixed(1);
      try {
        const answer = await fetch(timer().dataset.tap, {
          method: "POST", headers: { "HX-Request": "true" },
          body: new URLSearchParams({ ...one.fields, ago }), signal: AbortSignal.timeout?.(8000),
        });
        html = await answer.text();
        if (answer.status >= 500 || !html.includes('id="timer"')) break;
      } catch {
        break;
      }
      keep(list().slice(1));
    }
    sending = false;
    if (!list().length && html) take(html);
    hide(find("unsent"), !list().length);
  }

  function begin() {
    ahead = Number(timer().dataset.now) - Date.now();
    list().forEach(apply);
    hide(find("sounding"), false);
    if (find("sound")) find("sound").checked = localStorage.getItem(SOUND) !== "off";
    show();
    tick();
  }

  document.addEventListener("submit", (event) => {
    if (event.target.id === "readings" && list().length) { // the taps first: they belong to it
      event.preventDefault();
      find("unsent").hidden = false;
      find("unsent").scrollIntoView();
      send();
    }
    if (!event.target.classList.contains("brew-tap") || !event.submitter) return;
    event.preventDefault();
    if (event.timeStamp - tapped < TWICE) return; // the button has become the next step's already
    tapped = event.timeStamp;
    const fields = Object.fromEntries(new FormData(event.target, event.submitter));
    const one = { fields, at: Date.now() };
    keep([...list(), one]);
    apply(one);
    show();
    tick();
    send();
  });
  document.addEventListener("change", (event) => {
    if (event.target.id === "sound") localStorage.setItem(SOUND, event.target.checked ? "on" : "off");
  });
  // A browser lets a page sound only after somebody has touched it.
  document.addEventListener("click", () => {
    audio = audio || new AudioContext();
    audio.resume();
  });
  setInterval(tick, 200);
  setInterval(send, 3000);
  begin();
  send();
})();
