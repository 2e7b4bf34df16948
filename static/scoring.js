// The score sheet of a seat: a part of it at a time, side by side or one code by one, and at
// its end what is missing. Values are kept by scoring_store.js; ballot.js sends the lock.
(() => {
  const { read, fill, judge, isOptional } = scoreValues;
  const { enhance, exclude, show, showBefore, make } = scoreScales;
  const VIEW = "oddcup view", NUMBERS = "oddcup numbers", NARROW = 640; // px
  const AT = `oddcup at ${seatStore.SEAT}`;
  const CALM = 400; // ms
  const SIP_ASKED = 10000; // ms between two questions whether sips are still held
  const main = document.querySelector("main");
  let form = null, groups = [], at = { pass: "", code: "" }, stepped = 0;

  const recall = (name) => {
    try { return localStorage.getItem(name); } catch { return null; }
  };
  const remember = (name, text) => {
    try { localStorage.setItem(name, text); } catch { /* then it is forgotten */ }
  };
  const find = (selector) => form.querySelector(selector);
  const findAll = (selector) => [...form.querySelectorAll(selector)];
  const getView = () => form.dataset.view;
  const findGroup = (field) => groups.find((one) => one.dataset.field === field);

  // ---- where one is: a pass and, one by one, a code; last of all the end

  const listCodes = (pass) => [...new Set([...pass.querySelectorAll(".cell")].map((one) => one.dataset.code))];

  // One question is answered for all codes on one screen: a screen for each would be mostly taps
  // to the next one.
  const isApart = (pass) => getView() === "one" && pass.querySelectorAll(".question").length > 1;

  function listStops() {
    const stops = findAll(".pass").flatMap((pass) => {
      const codes = isApart(pass) ? listCodes(pass) : [null];
      return codes.map((code) => ({ pass: pass.dataset.pass, code }));
    });
    return [...stops, { pass: null, code: null }];
  }

  // A code of another view, or of a pass that is not apart, is forgotten.
  const isHere = (stop) => stop.pass === at.pass && (stop.code === null || stop.code === at.code);
  const findStop = () => Math.max(0, listStops().findIndex(isHere));
  const nameOf = (stop) => {
    if (stop.pass === null) return find("[data-next]").dataset.end;
    const pass = findAll(".pass").find((one) => one.dataset.pass === stop.pass);
    const name = pass.querySelector("legend").textContent;
    if (stop.code === null) return name;
    const code = stop.code || pass.querySelector('[data-code=""]').closest(".question").dataset.label;
    return stop.pass === at.pass ? code : `${name} · ${code}`;
  };

  function go(stop, focus = true) {
    at = { ...stop };
    remember(AT, JSON.stringify(at));
    draw();
    if (!focus) return;
    const first = findAll("[data-finish] h2, .question h2").find((one) => one.offsetParent);
    first.tabIndex = -1;
    first.focus({ preventScroll: true });
    (first.closest(".pass") ?? first).scrollIntoView();
  }

  function draw() {
    const stops = listStops();
    if (!stops.some(isHere)) at = { ...(stops.find((one) => one.pass === at.pass) ?? stops[0]) };
    const here = findStop(), { code } = stops[here];
    for (const pass of findAll(".pass")) {
      pass.hidden = pass.dataset.pass !== at.pass;
      pass.toggleAttribute("data-apart", isApart(pass));
      for (const question of pass.querySelectorAll(".question")) {
        const cells = [...question.querySelectorAll(".cell")];
        cells.forEach((one) => { one.hidden = code !== null && one.dataset.code !== code; });
        question.hidden = cells.every((one) => one.hidden);
      }
    }
    findAll("[data-show]").forEach((one) => one.setAttribute("aria-pressed", one.dataset.show === at.pass));
    findAll("button[data-view]").forEach((one) => one.setAttribute("aria-pressed", one.dataset.view === getView()));
    find("[data-finish]").hidden = at.pass !== null;
    const [back, next] = [stops[here - 1], stops[here + 1]];
    find("[data-back]").hidden = !back;
    find("[data-next]").hidden = !next;
    if (back) find("[data-back] span").textContent = nameOf(back);
    if (next) find("[data-next] span").textContent = nameOf(next);
    find("[data-count]").textContent = next && code ? code : "";
    if (at.pass === null) listGaps();
    showEarlier();
  }

  function showEarlier() {
    for (const group of groups) {
      const [, name, code, bowl, time] = group.dataset.field.split(".");
      const same = groups.filter((one) => one.dataset.field.startsWith(`v.${name}.${code}.${bowl}.`));
      const earlier = same.slice(0, same.findIndex((one) => one.dataset.field.endsWith(`.${time}`)));
      showBefore(group, earlier.reverse().find(judge));
    }
  }

  // ---- the end: what is missing

  function listGaps() {
    const gaps = groups.filter((one) => judge(one) !== "whole");
    const questions = [...new Set(gaps.map((one) => one.closest(".question")))];
    find(".gaps").replaceChildren(...questions.map((one) => makeGaps(one, gaps.filter((gap) => one.contains(gap)))));
    const isOpen = gaps.some((one) => !isOptional(one));
    find("[data-missing]").hidden = !isOpen;
    find("[data-may-stay]").hidden = isOpen || !gaps.length;
    find("[data-complete]").hidden = Boolean(gaps.length);
    find("[data-lock]").disabled = isOpen || Boolean(find(".pass[data-held]"));
  }

  function makeGaps(question, gaps) {
    const pass = question.closest(".pass"), parts = [question.dataset.label];
    if (pass.dataset.pass) parts.push(pass.querySelector("legend").textContent);
    if (isOptional(gaps[0])) parts.push(form.dataset.optional);
    const item = make("li");
    item.append(make("span", { textContent: parts.join(" · ") }), ...gaps.map((one) => makeGap(one, pass)));
    return item;
  }

  function makeGap(group, pass) {
    const { code } = group.closest(".cell").dataset, bowl = group.querySelector(".bowl")?.textContent;
    const name = [code, bowl].filter(Boolean).join(" · ") || "›";
    const button = make("button", { type: "button", textContent: name }, { "aria-label": group.getAttribute("aria-label") });
    button.addEventListener("click", () => {
      go({ pass: pass.dataset.pass, code }, false);
      group.scrollIntoView({ block: "center" });
      (group.querySelector(".track, .taps button") ??
        [...group.elements].find((one) => one.type !== "hidden"))?.focus({ preventScroll: true });
    });
    return button;
  }

  // ---- what is tapped, kept and sent

  function note({ target }) {
    const group = target.closest("fieldset.value");
    if (!group) return;
    exclude(group, target);
    show(group);
    scoreStore.touch(group.dataset.field, read(group));
  }

  function hear({ fresh = [], problems = {}, held = null, open = true }) {
    if (!form?.isConnected) return;
    if (!open) return location.reload(); // locked on another device, or the tasting is over
    fresh.forEach(([field, parts]) => refill(field, parts));
    if (held !== null && Boolean(find(".pass[data-held]")) !== held) hold(held);
    for (const [field, text] of Object.entries(problems)) complain(field, text);
    const state = find("[data-state]"), unsent = scoreStore.listUnsent().length;
    const text = unsent ? `${unsent} ${state.dataset.here}` : state.dataset.sent;
    if (state.textContent !== text) state.textContent = text;
  }

  function refill(field, parts) {
    const group = findGroup(field);
    if (!group) return;
    fill(group, parts);
    show(group);
  }

  function complain(field, text) {
    const group = groups.find((one) => `${field}.`.startsWith(`${one.dataset.field}.`));
    const said = group?.querySelector(".error");
    if (said?.textContent === text) return; // it was read out already
    said?.remove();
    group?.append(make("p", { className: "error", textContent: text }, { role: "alert" }));
  }

  function hold(held) {
    if (held) return location.reload();
    findAll("[data-held]").forEach((one) => {
      if (one.matches(".pass")) {
        one.querySelectorAll(".error").forEach((error) => error.remove());
        one.disabled = false;
        delete one.dataset.held;
      } else one.remove();
    });
    if (at.pass === null) listGaps();
  }

  // ---- a sheet comes onto the page

  // Without a network ballot.js draws it from a template, which is this sheet untouched.
  function keepTemplate(sheet) {
    const ahead = document.getElementById("ahead"), name = `ballot ${form.dataset.sheet}`;
    if (!ahead || "local" in document.getElementById("step").dataset) return;
    const kept = ahead.querySelector(`[data-part="${name}"]`) ?? make("template", {}, { "data-part": name });
    kept.content.replaceChildren(sheet.cloneNode(true));
    ahead.append(kept);
  }

  function setUp() {
    const sheet = document.querySelector("#step [data-scored]"), next = sheet?.querySelector("form.sheet");
    if (next === form) return;
    form = next ?? null;
    if (!form) return scoreStore.close();
    findAll("input[data-held]").forEach((one) => one.remove()); // the store keeps what waits
    keepTemplate(sheet);
    groups = findAll("fieldset.value");
    form.dataset.view = recall(VIEW) ?? (innerWidth < NARROW ? "one" : "side");
    setNumbers(recall(NUMBERS) === "on");
    findAll(".plain").forEach((one) => { one.hidden = true; });
    findAll("[data-bar], [data-foot]").forEach((one) => { one.hidden = false; });
    groups.forEach((one) => enhance(one, form.dataset));
    form.addEventListener("input", note);
    form.addEventListener("click", press);
    form.addEventListener("keydown", (event) => {
      if (event.key === "Enter" && event.target.matches("input, select")) event.preventDefault();
    });
    Object.entries(scoreStore.open(form.dataset.sheet, hear)).forEach(([field, one]) => refill(field, one.parts));
    at = JSON.parse(recall(AT) ?? "{}");
    draw();
    hear({});
  }

  function setNumbers(on) {
    form.classList.toggle("numbers", on);
    find("[data-numbers]").setAttribute("aria-pressed", on);
    remember(NUMBERS, on ? "on" : "");
  }

  // The second half of a double tap must not go on by another screen.
  function step(by) {
    if (Date.now() - stepped < CALM) return;
    stepped = Date.now();
    go(listStops()[findStop() + by]);
  }

  function press({ target }) {
    const button = target.closest("button");
    if (!button) return;
    if (button.matches("[data-show]")) go({ pass: button.dataset.show, code: listStops().find((one) => one.pass === button.dataset.show).code });
    else if (button.matches("[data-view]")) setView(button.dataset.view);
    else if (button.matches("[data-numbers]")) setNumbers(button.getAttribute("aria-pressed") !== "true");
    else if (button.matches("[data-back]")) step(-1);
    else if (button.matches("[data-next]")) step(1);
  }

  function setView(view) {
    form.dataset.view = view;
    remember(VIEW, view);
    draw();
  }

  // The lock says when each value was tapped here.
  document.addEventListener("submit", (event) => {
    if (event.target !== form) return;
    form.querySelector(".moments")?.remove();
    const moments = make("div", { className: "moments", hidden: true });
    moments.append(...scoreStore.list().map(([field, one]) =>
      make("input", { type: "hidden", name: `t.${field}`, value: one.at })));
    form.append(moments);
  }, true);

  new MutationObserver(setUp).observe(main, { childList: true });
  addEventListener("online", scoreStore.send);
  document.addEventListener("visibilitychange", () => document.hidden || scoreStore.send());
  setInterval(() => form?.querySelector("[data-held]") && scoreStore.send(), SIP_ASKED);
  seatStore.restore().catch(() => {}).then(setUp);
})();
