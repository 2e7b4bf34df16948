// The steps of a seat, drawn from the templates in #ahead when no server can draw them.
// No method is known here: a ballot is a form, its fields are names and values.
const seatSteps = (() => {
  const { listWaiting, pickBallot, findTyped } = seatStore;
  // What follows a tap before the same cups, and the first step before the next ones: the first
  // of these that there is a template for. Only somebody alone prepares and pours.
  const AFTER = {
    start: ["prepare", "pour", "codes"], prepared: ["pour"], shuffled: ["codes"],
    codes: ["ballot"], change: ["ballot"],
  };
  const NEXT_CUPS = ["pour", "codes"];
  const ENDS = ["answer", "give-up"]; // taps after which these cups are done with
  const CALM = 400; // ms in which the second half of a double tap must not hit the next step
  const REST = 60000; // ms between a locked answer and the next sip
  const id = (name) => document.getElementById(name);
  const findPart = (name) => document.querySelector(`#ahead [data-part="${name}"]`);
  const copyPart = (name) => document.importNode(findPart(name).content, true);
  const makeHidden = (name, value) =>
    Object.assign(document.createElement("input"), { type: "hidden", name, value });

  const findFirst = (names, serving) => names.find((name) => findPart(`${name} ${serving}`));
  const isBallot = (form) => form?.action.endsWith("/draft");
  const isLocal = () => "local" in (id("step")?.dataset ?? {});
  // Servings not answered yet, as the server said last; #ahead may be older and hold more.
  const listAhead = () => (id("step").dataset.ahead ?? "").split(" ").filter(Boolean);
  // Drawn here, or there are servings without templates: poured in another's place.
  const isStale = () => isLocal() || listAhead().some((serving) => !findPart(`codes ${serving}`));

  function put(form, name, value) {
    form.querySelector(`[type=hidden][name=${name}]`)?.remove();
    form.append(makeHidden(name, value));
  }

  function fill(form, fields) {
    for (const field of form.elements) {
      const values = fields.filter(([name]) => name === field.name).map(([, value]) => value);
      if (/radio|checkbox/.test(field.type)) field.checked = values.includes(field.value);
      else if (!/hidden|submit/.test(field.type)) field.value = values[0] ?? "";
    }
    askFor(form);
  }

  // What a ballot needs before it is kept here: words where a cue is ticked, and as many ticks
  // as a group of boxes asks for.
  function askFor(form) {
    const { cue } = form.elements;
    if (cue) cue.required = form.querySelector("[type=checkbox][name=cued]").checked;
    for (const group of form.querySelectorAll("[data-ticks]")) {
      const boxes = [...group.querySelectorAll("[type=checkbox]")];
      const isDone = boxes.filter((one) => one.checked).length === Number(group.dataset.ticks);
      boxes[0].setCustomValidity(isDone ? "" : group.dataset.ticksMissing);
    }
  }

  // What follows the last tap that is kept.
  function drawNext() {
    const waiting = listWaiting().filter((one) => one.path !== "seen"), last = waiting.at(-1);
    if (!last) return; // what was noted changes no step
    const ended = waiting.filter((one) => ENDS.includes(one.path)).map((one) => one.serving);
    const ahead = listAhead().filter((serving) => !ended.includes(serving));
    const locked = waiting.filter((one) => one.path === "answer");
    const until = locked.length ? Date.parse(locked.at(-1).device_at) + REST : null;
    const banner = last.path === "answer" ? [copyPart("locked")] : [];
    if (!ahead.length) draw([copyPart("end")], "", 0);
    else if (!findPart(`codes ${ahead[0]}`)) draw([copyPart("wait")], "", 0);
    else if (ahead.includes(last.serving)) draw(makeParts(last), last.serving, until);
    else draw([...banner, copyFirst(NEXT_CUPS, ahead[0])], ahead[0], until);
  }

  // What follows a tap, before the same cups.
  function makeParts({ path, serving, fields }) {
    if (path === "draft") return [makeReview(serving, fields)];
    const isCall = fields.some(([name, value]) => name === "verdict" && value === "differ");
    if (isCall) return [copyPart("call"), copyPart(`codes ${serving}`)];
    const name = findFirst(AFTER[path], serving);
    return [name === "ballot" ? makeBallot(serving) : copyPart(`${name} ${serving}`)];
  }

  const copyFirst = (names, serving) => copyPart(`${findFirst(names, serving)} ${serving}`);

  function makeBallot(serving, fields = findTyped(serving)) {
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

  // A step from the server: put back what was typed before, forget what is answered.
  function receive() {
    seatStore.forgetAllBut(listAhead());
    const form = [...document.querySelectorAll("#step form")].find(isBallot);
    const typed = form && findTyped(form.elements.serving.value);
    if (typed) fill(form, typed);
  }

  return { put, askFor, isBallot, isLocal, isStale, drawNext, receive };
})();
