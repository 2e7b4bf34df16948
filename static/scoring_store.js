// What a device knows of a sheet: every value tapped here, when, and whether the server has it.
// It is kept at once (seat_store.js, with its copy), and sent a moment later: one request at a
// time, all that is new in it. A value is done with only when the server says so: one whose sip
// is held waits here, and is sent again whenever the sheet asks for news.
const scoreStore = (() => {
  const { SEAT, findTyped, type } = seatStore;
  const KEPT = "scores"; // name under which this lies among what is typed
  const QUIET = 500, SOONEST = 2000, LATEST = 30000, PATIENCE = 10000; // ms
  let serving = "", values = {}, since = "", busy = false, isAskedAgain = false, timer = 0, pause = SOONEST;
  let waiting = new Set(), hear = () => {};

  // An answer that was refused comes back as the form it was: then its own moments tell.
  function load(name) {
    const typed = findTyped(name) ?? [];
    const kept = typed.find(([one]) => one === KEPT);
    if (kept) return kept[1];
    const moments = typed.filter(([one]) => one.startsWith("t."));
    return Object.fromEntries(moments.map(([one, at]) => {
      const field = one.slice(2);
      const parts = typed.filter(([part]) => `${part}.`.startsWith(`${field}.`));
      return [field, { at: Number(at), parts, sent: false }];
    }));
  }

  function open(name, listen) {
    [serving, values, since, waiting, hear] = [name, load(name), "", new Set(), listen];
    send();
    return values;
  }

  const save = () => type(serving, [[KEPT, values]]);
  const listUnsent = () => Object.entries(values).filter(([, one]) => !one.sent);
  const isAnyNew = () => listUnsent().some(([field]) => !waiting.has(field));

  function touch(field, parts) {
    values[field] = { at: Date.now(), parts, sent: false };
    waiting.delete(field);
    save();
    hear({});
    clearTimeout(timer);
    timer = setTimeout(send, QUIET);
  }

  function learn(field, parts) {
    if (values[field] && !values[field].sent) return false;
    values[field] = { at: Date.now(), parts, sent: true };
    return true;
  }

  async function ask(unsent, asked) {
    const body = new URLSearchParams([["serving", asked], ["since", since]]);
    for (const [field, { at, parts }] of unsent) {
      parts.forEach(([name, text]) => body.append(name, text));
      body.append(`t.${field}`, at);
    }
    body.append("sent_at", new Date().toISOString());
    const answer = await fetch(`/seat/${SEAT}/values`, {
      method: "POST", headers: { "HX-Request": "true" }, body, mode: "same-origin",
      cache: "no-store", signal: AbortSignal.timeout(PATIENCE),
    });
    const told = await answer.json(); // whoever else answers does not speak like this
    if (told.taken !== true) throw new Error("not taken");
    return told;
  }

  async function send() {
    clearTimeout(timer);
    isAskedAgain = busy; // what is under way may have left before whatever calls for this
    if (busy || !serving) return;
    busy = true;
    const unsent = listUnsent(), asked = serving;
    try {
      const told = await ask(unsent, asked);
      pause = SOONEST;
      if (asked === serving) take(told, unsent);
    } catch { // no network, no server: the same again, later
      timer = setTimeout(send, pause);
      pause = Math.min(2 * pause, LATEST);
    }
    busy = false;
    hear({});
    if (isAskedAgain || asked !== serving || (isAnyNew() && pause === SOONEST)) {
      clearTimeout(timer);
      timer = setTimeout(send, QUIET);
    }
  }

  function take(told, unsent) {
    since = told.at;
    waiting = new Set(told.waiting);
    for (const [field, one] of unsent) if (values[field] === one && !waiting.has(field)) one.sent = true;
    const fresh = Object.entries(told.fresh).map(([field, parts]) => [field, Object.entries(parts)])
      .filter((one) => learn(...one));
    save();
    hear({ ...told, fresh });
  }

  const close = () => { serving = ""; };

  return { open, close, touch, send, listUnsent, list: () => Object.entries(values) };
})();
