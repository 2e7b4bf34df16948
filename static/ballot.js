// Lets a seat go on without a network. While there is one, htmx sends every tap, and this
// file only adds the device's clock and a key to it. A tap that cannot leave goes into an
// outbox in localStorage, the next step comes from the templates in #ahead, and the outbox is
// sent, oldest first, as soon as the server answers. No method is known here: fields are
// names and values. On plain http there is no crypto.randomUUID, no service worker and no
// navigator.locks, so none is used. Without this file the forms work, with a network.
(() => {
  const SEAT = location.pathname.split("/")[2];
  const OUTBOX = `oddcup outbox ${SEAT}`; // [{path, fields, key, device_at, serving, round, state}]
  const TYPED = `oddcup typed ${SEAT}`; // {serving: fields}, not locked yet
  const OWN = ["serving", "client_key", "device_at", "sent_at"]; // fields that are not the ballot's
  const PATIENCE = 10000; // ms until a request counts as lost
  const SOONEST = 2000, LATEST = 30000; // ms between two attempts
  const CALM = 400; // ms in which the second half of a double tap must not hit the next step
  const REST = 60000; // ms between a locked answer and the next sip
  const id = (name) => document.getElementById(name);
  const now = () => new Date().toISOString();
  const sentRounds = new Set();
  let busy = false, pause = SOONEST, timer = 0;

  // ---- what is stored. It is read anew each time: two pages may be open for one seat.

  function load(name, empty) {
    try {
      return JSON.parse(localStorage.getItem(name)) ?? empty;
    } catch { // forbidden, or not ours
      return empty;
    }
  }

  const save = (name, value) => localStorage.setItem(name, JSON.stringify(value)); // may throw
  const listEntries = () => load(OUTBOX, []);
  const listWaiting = () => listEntries().filter((one) => one.state === "kept");

  function type(serving, fields) {
    const typed = load(TYPED, {});
    delete typed[serving];
    if (fields) typed[serving] = pickBallot(fields);
    try {
      save(TYPED, typed);
    } catch { /* what is typed still stands on the page */ }
  }

  // ---- forms

  const isBallot = (form) => form?.action.endsWith("/draft");
  const pickBallot = (fields) => fields.filter(([name]) => !OWN.includes(name));
  const makeHidden = (name, value) =>
    Object.assign(document.createElement("input"), { type: "hidden", name, value });

  function put(form, name, value) {
    form.querySelector(`[type=hidden][name=${name}]`)?.remove();
    form.append(makeHidden(name, value));
  }

  function stamp(form) {
    if (!form.elements.client_key) put(form, "client_key", drawKey());
    put(form, "device_at", now());
    put(form, "sent_at", now());
  }

  function drawKey() {
    const bytes = crypto.getRandomValues(new Uint8Array(20));
    return Array.from(bytes, (one) => one.toString(16).padStart(2, "0")).join("");
  }

  function fill(form, fields) {
    for (const field of form.elements) {
      const values = fields.filter(([name]) => name === field.name).map(([, value]) => value);
      if (/radio|checkbox/.test(field.type)) field.checked = values.includes(field.value);
      else if (!/hidden|submit/.test(field.type)) field.value = values[0] ?? "";
    }
  }

  // ---- the step that comes next, drawn from the templates

  const findPart = (name) => document.querySelector(`#ahead [data-part="${name}"]`);
  const copyPart = (name) => document.importNode(findPart(name).content, true);
  const isLocal = () => "local" in (id("step")?.dataset ?? {});

  // Servings not answered yet, as the server said last; #ahead may be older and hold more.
  const listAhead = () => (id("step").dataset.ahead ?? "").split(" ").filter(Boolean);

  function drawNext() {
    const waiting = listWaiting(), last = waiting.at(-1);
    const locked = waiting.filter((one) => one.path === "answer");
    const ahead = listAhead().filter((serving) => !locked.some((one) => one.serving === serving));
    const until = locked.length ? Date.parse(locked.at(-1).device_at) + REST : null;
    const banner = locked.length ? [copyPart("locked")] : [];
    if (!ahead.length) draw([copyPart("end")], "", 0);
    else if (!findPart(`codes ${ahead[0]}`)) draw([copyPart("wait")], "", 0);
    else if (ahead.includes(last.serving)) draw(makeParts(last), last.serving, until);
    else draw([...banner, copyPart(`codes ${ahead[0]}`)], ahead[0], until);
  }

  // What follows a tap, before the same cups.
  function makeParts({ path, serving, fields }) {
    if (path === "draft") return [makeReview(serving, fields)];
    const isCall = fields.some(([name, value]) => name === "verdict" && value === "differ");
    if (isCall) return [copyPart("call"), copyPart(`codes ${serving}`)];
    return [path === "start" ? copyPart(`codes ${serving}`) : makeBallot(serving)];
  }

  function makeBallot(serving, fields = load(TYPED, {})[serving]) {
    const part = copyPart(`ballot ${serving}`), form = part.querySelector("form");
    if (fields) fill(form, fields);
    return part;
  }

  function makeReview(serving, fields) {
    const part = copyPart("review"), [lock, change] = part.querySelectorAll("form");
    const ballot = makeBallot(serving, fields).querySelector("form");
    ballot.querySelectorAll("button, [type=hidden]").forEach((one) => one.remove());
    part.querySelector("fieldset").append(...ballot.childNodes);
    for (const form of [lock, change]) put(form, "serving", serving);
    lock.append(...pickBallot(fields).map(([name, value]) => makeHidden(name, value)));
    return part;
  }

  function draw(parts, serving, until) {
    const step = copyPart("frame").querySelector("section"), head = findPart(`codes ${serving}`);
    const rest = step.querySelector("[data-rest]");
    step.dataset.local = "";
    step.dataset.ahead = id("step").dataset.ahead ?? "";
    step.dataset.round = head?.dataset.round ?? "";
    step.querySelector("[data-place]").textContent = head?.dataset.place ?? "";
    if (until === null) rest.replaceWith(id("step").querySelector("[data-rest]") ?? rest);
    else rest.until = until; // see rest.js
    step.append(...parts);
    const buttons = [...step.querySelectorAll("button")];
    buttons.forEach((one) => { one.disabled = true; });
    setTimeout(() => buttons.forEach((one) => { one.disabled = false; }), CALM);
    id("step").replaceWith(step);
    scrollTo(0, 0);
    step.querySelector("h1").focus();
  }

  // ---- the outbox

  function keep(form, fields) {
    if (!form.reportValidity()) return;
    const told = Object.fromEntries(fields), path = form.action.split("/").pop();
    const entry = {
      path, fields, key: told.client_key, device_at: told.device_at,
      serving: told.serving, round: id("step").dataset.round, state: "kept",
    };
    try {
      save(OUTBOX, [...listEntries().filter((one) => one.key !== entry.key), entry]);
    } catch { // full or forbidden: then nothing may look as if it were kept
      id("offline").hidden = false;
      return;
    }
    if (path === "draft" || path === "answer") type(entry.serving, path === "draft" && fields);
    drawNext();
    flush();
  }

  // Whatever else answers in the server's place (a gateway, a sign-in page of the Wi-Fi) has
  // taken nothing.
  const isOurs = (text) => text.includes('<section id="step"');

  async function ask(url, fields) {
    const signal = AbortSignal.timeout(PATIENCE), headers = fields ? { "HX-Request": "true" } : {};
    const told = fields ? { method: "POST", body: new URLSearchParams(fields) } : {};
    const answer = await fetch(url, { mode: "same-origin", cache: "no-store", signal, headers, ...told });
    const text = await answer.text();
    if (!isOurs(text)) throw new Error("no answer of the server");
    return { ok: answer.ok, text };
  }

  // A refused answer is set aside and not sent again. If its serving is asked again, it stands
  // in the ballot; once its round is answered, it is done with.
  function settle(entry, ok) {
    const isAnswer = entry.path === "answer";
    save(OUTBOX, listEntries()
      .filter((one) => one.key !== entry.key)
      .filter((one) => !(ok && isAnswer && one.state === "refused" && one.round === entry.round))
      .concat(isAnswer && !ok ? [{ ...entry, state: "refused" }] : []));
    if (isAnswer) type(entry.serving, !ok && entry.fields);
    if (isAnswer && ok && entry.key) sentRounds.add(entry.round);
    list();
  }

  async function flush() {
    list();
    clearTimeout(timer);
    if (busy) return;
    busy = true;
    try {
      while (listWaiting().length || isStale()) {
        const [entry] = listWaiting();
        if (entry) {
          const fields = [...entry.fields.filter(([name]) => name !== "sent_at"), ["sent_at", now()]];
          settle(entry, (await ask(`/seat/${SEAT}/${entry.path}`, fields)).ok);
        } else await refresh();
        pause = SOONEST;
      }
    } catch { // no network, no server, or it failed: the same again, later
      timer = setTimeout(flush, pause);
      pause = Math.min(2 * pause, LATEST);
    }
    busy = false;
    list();
  }

  // Drawn here, or there are servings without templates: poured in another's place.
  const isStale = () => isLocal() || listAhead().some((serving) => !findPart(`codes ${serving}`));

  async function refresh() {
    const page = new DOMParser().parseFromString((await ask(location.pathname)).text, "text/html");
    if (listWaiting().length) return; // tapped meanwhile: that comes first
    const { name, selectionStart: at } = document.activeElement;
    for (const part of ["ahead", "step"]) {
      const fresh = page.getElementById(part);
      if (fresh) id(part).replaceWith(fresh);
    }
    htmx.process(id("step"));
    receive();
    const again = at != null && id("step").querySelector(`textarea[name="${name}"]`);
    if (again) { // somebody is writing
      again.focus();
      again.setSelectionRange(at, at);
    } else id("step").querySelector("h1")?.focus();
  }

  // A step from the server: put back what was typed before, forget what is answered.
  function receive() {
    const form = [...document.querySelectorAll("#step form")].find(isBallot);
    const typed = load(TYPED, {}), open = listAhead();
    for (const serving of Object.keys(typed)) if (!open.includes(serving)) type(serving);
    const mine = form && typed[form.elements.serving.value];
    if (mine) fill(form, mine);
  }

  function list() {
    const rounds = new Map([...sentRounds].map((round) => [round, "sent"]));
    for (const one of listEntries()) if (one.path === "answer") rounds.set(one.round, one.state);
    const lines = [...rounds].sort(([one], [other]) => one - other).map(([round, state]) => {
      const text = id("kept").dataset[state].replace("{round}", round);
      return Object.assign(document.createElement("li"), { className: state, textContent: text });
    });
    id("kept").replaceChildren(...lines);
    id("unsent").hidden = !listWaiting().length;
    if (!listWaiting().length) id("offline").hidden = true;
  }

  function resume() {
    if (listWaiting().length) drawNext();
    flush();
  }

  // ---- what happens

  document.addEventListener("submit", (event) => {
    const form = event.target;
    stamp(form);
    if (form.elements.verdict?.value === "differ") type(form.elements.serving.value);
    if (!isLocal() && !listWaiting().length) return; // htmx sends it
    event.preventDefault();
    event.stopPropagation();
    keep(form, [...new FormData(form)]);
  }, true);

  function keepFailed(event) {
    const request = event.detail.ctx?.request;
    if (request?.form) keep(request.form, [...request.body]);
  }

  document.addEventListener("htmx:error", keepFailed);
  document.addEventListener("htmx:after:request", (event) => {
    const { request, response, text } = event.detail.ctx;
    if (!isOurs(text)) {
      event.preventDefault(); // nothing of it is shown
      keepFailed(event);
    } else if (request.action.endsWith("/answer") && response.status < 300) {
      const serving = request.body.get("serving"), { round } = id("step").dataset;
      settle({ path: "answer", serving, round }, true);
    }
  });
  document.addEventListener("htmx:finally:swap", () => {
    receive();
    flush();
  });
  document.addEventListener("input", ({ target: { form } }) => {
    if (isBallot(form)) type(form.elements.serving.value, [...new FormData(form)]);
  });
  addEventListener("beforeunload", (event) => {
    if (listWaiting().length) event.preventDefault();
  });
  addEventListener("online", flush);
  addEventListener("storage", list);
  document.addEventListener("visibilitychange", () => document.hidden || flush());
  addEventListener("pageshow", resume);
  htmx.config.defaultTimeout = PATIENCE;
  receive();
  resume();
})();
