// Says so when a tap could not leave the device. It decides nothing and stores nothing;
// without it the form still works.
(() => {
  const show = (offline) => {
    document.getElementById("offline").hidden = !offline;
  };
  document.addEventListener("htmx:error", () => show(true));
  document.addEventListener("htmx:after:request", () => show(false));
})();
