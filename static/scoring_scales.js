// What makes scales quick to use: a line that one tap marks, codes tapped in order, words that
// exclude each other. The fields behind them stay what they are, and are what is sent.
const scoreScales = (() => {
  const { fill, judge, tell, findKind } = scoreValues;
  const LENGTH = 1000, NUDGE = 10, LEAP = 100;
  const CALM = 700; // ms in which a second tap on the same word is the first one's echo

  function make(tag, properties = {}, attributes = {}) {
    const one = Object.assign(document.createElement(tag), properties);
    for (const [name, text] of Object.entries(attributes)) one.setAttribute(name, text);
    return one;
  }

  const change = (group) => group.dispatchEvent(new Event("input", { bubbles: true }));

  // ---- a line typed in millimetres, once somebody asks for it: taken when it is done, not on the way

  function buildTyping(group, set) {
    const box = group.querySelector(".typed"), label = box.querySelector("label");
    const input = label.querySelector("input"), length = Number(input.dataset.length);
    const read = (text) => (/^\d{1,3}(\.\d)?$/.test(text) && text <= length ? text / length * LENGTH : null);

    // The plainest number that is read as this place, as a ruler has it.
    function measure(value) {
      const near = [1, 2, 10].map((parts) => String(Math.round(value / LENGTH * length * parts) / parts));
      return near.find((one) => Math.round(read(one)) === value) ?? near.at(-1);
    }

    function take() {
      const text = input.value.trim().replace(",", "."), value = text === "" ? "" : read(text);
      label.querySelector(".error")?.remove();
      input.setAttribute("aria-invalid", value === null);
      if (value !== null) return set(value);
      label.append(make("span", { className: "error", textContent: input.dataset.again }, { role: "alert" }));
    }

    function show(value) {
      if (input !== document.activeElement) input.value = value === "" ? "" : measure(Number(value));
    }

    const question = group.closest(".question");
    if (!question.querySelector(".type-it")) {
      const button = make("button", { type: "button", className: "quiet type-it", textContent: box.querySelector("summary").textContent });
      button.setAttribute("aria-pressed", false);
      button.addEventListener("click", () => button.setAttribute("aria-pressed", question.classList.toggle("typing")));
      const head = make("div", { className: "question-head" }), title = question.querySelector("h2");
      title.before(head);
      head.append(title, button);
    }
    input.removeAttribute("name"); // what it says is sent as the mark
    input.addEventListener("input", (event) => event.stopPropagation());
    input.addEventListener("change", take);
    input.addEventListener("keydown", (event) => event.key === "Enter" && take());
    box.replaceWith(label);
    return show;
  }

  // ---- a line: it starts without a mark, and only a tap or a key sets one

  function buildLine(group, words) {
    const mark = group.querySelector(".line-mark"), line = mark.parentElement;
    const label = mark.getAttribute("aria-label");
    const slider = { role: "slider", "aria-label": label, "aria-valuemin": 0, "aria-valuemax": 100 };
    const track = make("div", { className: "track", tabIndex: 0 }, slider);
    const dot = make("i", { className: "dot" }), ghost = make("i", { className: "ghost", hidden: true });
    const [less, more] = [["−", words.less, -NUDGE], ["+", words.more, NUDGE]].map(([sign, name, by]) => {
      const button = make("button", { type: "button", className: "nudge", textContent: sign });
      button.setAttribute("aria-label", `${label}: ${name}`);
      button.addEventListener("click", () => nudge(by));
      return button;
    });
    const number = make("span", { className: "number-shown number" });
    const showTyped = buildTyping(group, (value) => set(value));
    const clear = make("button", { type: "button", className: "take-back", textContent: "×", title: words.clear });
    clear.setAttribute("aria-label", `${label}: ${words.clear}`);
    clear.addEventListener("click", () => {
      set("");
      track.focus();
    });

    function set(value) {
      mark.value = value === "" ? "" : Math.min(Math.max(Math.round(value), 0), LENGTH);
      show();
      change(group);
    }

    const nudge = (by) => mark.value !== "" && set(Number(mark.value) + by);

    function show() {
      const share = Math.round(mark.value / LENGTH * 1000) / 10;
      group.classList.toggle("marked", mark.value !== "");
      dot.style.left = `${share}%`;
      number.textContent = mark.value === "" ? "" : share;
      track.setAttribute("aria-valuenow", mark.value === "" ? 50 : share);
      track.setAttribute("aria-valuetext", mark.value === "" ? words.unmarked : `${share} / 100`);
      less.disabled = more.disabled = mark.value === "";
      showTyped(mark.value);
    }

    // A click is a tap that did not scroll; dragging past it changes nothing.
    track.addEventListener("click", ({ clientX }) => {
      const { left, width } = track.getBoundingClientRect();
      set((clientX - left) / width * LENGTH);
    });
    track.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.altKey || event.metaKey) return;
      const steps = {
        ArrowRight: NUDGE, ArrowUp: NUDGE, ArrowLeft: -NUDGE, ArrowDown: -NUDGE,
        PageUp: LEAP, PageDown: -LEAP,
      };
      const places = { Home: 0, End: LENGTH, Delete: "", Backspace: "" };
      if (event.key in steps) nudge(steps[event.key]);
      else if (event.key in places) set(places[event.key]);
      else if (/^\d$/.test(event.key)) set(event.key * LEAP);
      else return;
      event.preventDefault();
    });
    track.append(ghost, dot);
    mark.hidden = true;
    line.append(track, number);
    group.append(make("div", { className: "nudges" }));
    group.lastChild.append(less, more, clear);
    group.showLine = show;
    show();
  }

  // ---- a ranking: codes are tapped in order

  function buildRanking(group, words) {
    const places = group.querySelector(".places"), selects = [...places.querySelectorAll("select")];
    const taps = make("div", { className: "taps" });
    const undo = make("button", { type: "button", className: "quiet", textContent: words.undo });
    const tie = make("input", { type: "checkbox" });
    const last = () => Math.max(0, ...selects.map((one) => Number(one.value)));
    let tapped = selects.filter((one) => one.value).sort((one, other) => one.value - other.value);

    const buttons = selects.map((select) => {
      const button = make("button", { type: "button" });
      button.addEventListener("click", () => {
        if (select.value) return;
        select.value = last() + (tie.checked && last() ? 0 : 1);
        tie.checked = false;
        tapped.push(select);
        change(group);
      });
      taps.append(button);
      return button;
    });
    undo.addEventListener("click", () => {
      const one = tapped.pop();
      if (!one) return;
      one.value = "";
      change(group);
    });

    function show() {
      tapped = tapped.filter((one) => one.value);
      if (selects.some((one) => one.value && !tapped.includes(one))) {
        tapped = selects.filter((one) => one.value).sort((one, other) => one.value - other.value);
      }
      selects.forEach((select, at) => {
        const place = make("b", { className: "number", textContent: select.value });
        buttons[at].replaceChildren(select.dataset.code, ...(select.value ? [" ", place] : []));
        buttons[at].setAttribute("aria-pressed", Boolean(select.value));
      });
      undo.disabled = !tapped.length;
    }

    places.hidden = true;
    places.after(taps, undo);
    if ("ties" in places.dataset) {
      const label = make("label", { className: "choice" });
      label.append(tie, words.tie);
      undo.before(label);
    }
    group.showLine = show;
    show();
  }

  // ---- words to tick: none of them, or some

  function exclude(group, ticked) {
    if (ticked.type !== "checkbox" || !ticked.checked || !ticked.name) return;
    const isNone = "none" in ticked.dataset;
    for (const one of group.querySelectorAll("[type=checkbox]")) {
      if (one !== ticked && (isNone || "none" in one.dataset)) one.checked = false;
    }
  }

  // ---- one word of a row: the chosen one, tapped again a moment later, is taken back

  function letGo(group) {
    const choices = [...group.querySelectorAll("[type=radio]")];
    const held = new Map(choices.filter((one) => one.checked).map((one) => [one, 0]));
    group.addEventListener("click", ({ target }) => {
      if (!choices.includes(target)) return;
      const isAgain = held.has(target) && Date.now() - held.get(target) > CALM;
      choices.filter((one) => one.name === target.name).forEach((one) => held.delete(one));
      if (!isAgain) return held.set(target, Date.now());
      target.checked = false;
      return change(group);
    });
  }

  // ---- all of them

  function enhance(group, words) {
    const kind = findKind(group);
    if (kind === "line") buildLine(group, words);
    if (kind === "ranking") buildRanking(group, words);
    letGo(group);
    group.addEventListener("keydown", (event) => {
      if (event.key !== "Delete" || !/radio|checkbox/.test(event.target.type)) return;
      fill(group, []);
      change(group);
    });
    show(group);
  }

  function show(group) {
    group.showLine?.();
    group.dataset.said = judge(group);
  }

  // What was said in an earlier pass: small, beside the new value; of a line its place.
  function showBefore(group, earlier) {
    const ghost = group.querySelector(".ghost"), line = earlier?.querySelector(".line-mark");
    if (ghost) {
      ghost.hidden = !line?.value;
      if (line?.value) ghost.style.left = `${line.value / LENGTH * 100}%`;
    }
    const said = earlier ? tell(earlier) : "";
    let small = group.querySelector(".before");
    if (!small && said) group.prepend(small = make("small", { className: "before" }));
    if (small) {
      small.textContent = said;
      small.hidden = !said;
    }
  }

  return { enhance, exclude, show, showBefore, make };
})();
