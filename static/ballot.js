// Lets a seat go on without a network. While there is one, htmx sends every tap, and this
// file only adds a key and the device's clock to it. A tap that cannot leave goes into the
// outbox, the next step is drawn here, and the outbox is sent, oldest first, as soon as the
// server answers. On plain http there is no crypto.randomUUID, no service worker and no
// navigator.locks, so none is used. Without these files the forms work, with a network.
(() => {
  const { SEAT, listEntries, listWaiting, saveEntries, type } = seatStore;
  const { put, askFor, isBallot, isLocal, isStale, drawNext, receive } = seatSteps;
  const PATIENCE = 10000; // ms until a request counts as lost
  const SOONEST = 2000, LATEST = 30000; // ms between two attempts
  // Marks of turned cups, and words of one's own: they are entered with a network, or not at all.
  const AT_ONCE = /\/(marks\/\d+|words)$/;
  const id = (name) => document.getElementById(name);
  const now = () => new Date().toISOString();
  const sentRounds = new Set();
  let busy = false, pause = SOONEST, timer = 0;

  function stamp(form) {
    if (!form.elements.client_key) put(form, "client_key", drawKey());
    put(form, "device_at", now());
    put(form, "sent_at", now());
  }

  function drawKey() {
    const bytes = crypto.getRandomValues(new Uint8Array(20));
    return Array.from(bytes, (one) => one.toString(16).padStart(2, "0")).join("");
  }

  function keep(form, fields) {
    if (AT_ONCE.test(form.action)) {
      id("offline").hidden = false;
      return;
    }
    if (isBallot(form)) askFor(form);
    if (!form.reportValidity()) return;
    const told = Object.fromEntries(fields), path = form.action.split("/").pop();
    const entry = {
      path, fields, key: told.client_key, device_at: told.device_at,
      serving: told.serving, round: id("step").dataset.round, state: "kept",
    };
    try {
      saveEntries([...listEntries().filter((one) => one.key !== entry.key), entry]);
    } catch { // full or forbidden: then nothing may look as if it were kept
      id("offline").hidden = false;
      return;
    }
    if (path === "draft" || path === "answer") type(entry.serving, path === "draft" && fields);
    drawNext();
    pause = SOONEST;
    flush();
  }

  // Whatever else answers in the server's place (a gateway, a sign-in page of the Wi-Fi) has
  // taken nothing.
  const isOurs = (text) => text.includes('<section id="step"');

  async function ask(url, fields) {
    const how = { mode: "same-origin", cache: "no-store", signal: AbortSignal.timeout(PATIENCE) };
    const headers = { "HX-Request": "true" };
    const told = fields && { method: "POST", headers, body: new URLSearchParams(fields) };
    const answer = await fetch(url, { ...how, ...told });
    const text = await answer.text();
    if (!isOurs(text)) throw new Error("no answer of the server");
    return { ok: answer.ok, page: new DOMParser().parseFromString(text, "text/html") };
  }

  // A refused answer is set aside and not sent again. If its serving is asked again, it stands
  // in the ballot; once its round is answered, it is done with.
  function settle(entry, ok) {
    const isAnswer = entry.path === "answer";
    saveEntries(listEntries()
      .filter((one) => one.key !== entry.key)
      .filter((one) => !(ok && isAnswer && one.state === "refused" && one.round === entry.round))
      .concat(isAnswer && !ok ? [{ ...entry, state: "refused" }] : []));
    if (isAnswer) type(entry.serving, !ok && entry.fields);
    if (isAnswer && ok && entry.key) sentRounds.add(entry.round);
    list();
  }

  async function send(entry) {
    const fields = entry.fields.filter(([name]) => name !== "sent_at");
    const answer = await ask(`/seat/${SEAT}/${entry.path}`, [...fields, ["sent_at", now()]]);
    // More may be tapped before all is sent: what is answered must not be asked again.
    id("step").dataset.ahead = answer.page.getElementById("step").dataset.ahead ?? "";
    settle(entry, answer.ok);
  }

  async function flush() {
    list();
    clearTimeout(timer);
    if (busy) return;
    busy = true;
    try {
      while (listWaiting().length || isStale()) {
        const [entry] = listWaiting();
        if (entry) await send(entry);
        else await refresh();
        pause = SOONEST;
      }
    } catch { // no network, no server, or it failed: the same again, later
      timer = setTimeout(flush, pause);
      pause = Math.min(2 * pause, LATEST);
    }
    busy = false;
    list();
  }

  async function refresh() {
    const { page } = await ask(location.pathname);
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

  function list() {
    const rounds = new Map([...sentRounds].map((round) => [round, "sent"]));
    for (const one of listEntries()) if (one.path === "answer") rounds.set(one.round, one.state);
    const lines = [...rounds].sort(([one], [other]) => one - other).map(([round, state]) => {
      const text = id("kept").dataset[state].replace("{round}", round);
      return Object.assign(document.createElement("li"), { className: state, textContent: text });
    });
    const text = lines.map((one) => one.textContent).join("");
    if (id("kept").textContent !== text) id("kept").replaceChildren(...lines); // it is read out
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
    if (form.enctype === "multipart/form-data") return; // the browser sends it
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
      if (listEntries().length) settle({ path: "answer", serving, round }, true);
      else type(serving);
    }
  });
  document.addEventListener("htmx:finally:swap", () => {
    receive();
    flush();
  });
  document.addEventListener("input", ({ target: { form } }) => {
    if (!isBallot(form)) return;
    askFor(form);
    type(form.elements.serving.value, [...new FormData(form)]);
  });
  addEventListener("beforeunload", (event) => {
    if (listWaiting().length) event.preventDefault();
  });
  addEventListener("online", flush);
  addEventListener("storage", list);
  document.addEventListener("visibilitychange", () => document.hidden || flush());
  addEventListener("pageshow", (event) => event.persisted && resume());
  htmx.config.defaultTimeout = PATIENCE;
  receive();
  seatStore.restore().catch(() => {}).then(() => {
    if (!isLocal()) receive();
    resume();
  });
})();
