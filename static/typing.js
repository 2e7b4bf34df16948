// Typing a paper sheet in: Enter goes on to the next value, as Tab does, and sends nothing.
(() => {
  const form = document.querySelector("[data-typing]");
  const isStop = (one) => one.name && one.offsetParent && !/^(hidden|submit)$/.test(one.type);

  // Of a row of words the chosen one is a stop, as it is for the Tab key.
  const listStops = () => [...form.elements].filter((one) =>
    isStop(one) && (one.type !== "radio" || one.checked));

  form?.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.target.matches("textarea, button")) return;
    event.preventDefault();
    const stops = listStops(), here = stops.indexOf(event.target);
    const next = stops[here + 1] ?? form.querySelector("[name=then]");
    next.focus();
    if (next.matches("input:not([type=radio], [type=checkbox])")) next.select();
  });
})();
