// What a seat's device keeps, in localStorage, by the seat's token: an outbox of taps that could
// not leave, and what is typed but not locked. Read anew each time: two pages may be open.
const seatStore = (() => {
  const SEAT = location.pathname.split("/")[2];
  const OUTBOX = `oddcup outbox ${SEAT}`; // [{path, fields, key, device_at, serving, round, state}]
  const TYPED = `oddcup typed ${SEAT}`; // {serving: fields}
  const OWN = ["serving", "client_key", "device_at", "sent_at"]; // fields that are not the ballot's

  function load(name, empty) {
    try {
      return JSON.parse(localStorage.getItem(name)) ?? empty;
    } catch { // forbidden, or not ours
      return empty;
    }
  }

  // May throw: storage can be full or forbidden.
  const save = (name, value) => localStorage.setItem(name, JSON.stringify(value));
  const listEntries = () => load(OUTBOX, []);
  const listWaiting = () => listEntries().filter((one) => one.state === "kept");
  const saveEntries = (entries) => save(OUTBOX, entries);
  const pickBallot = (fields) => fields.filter(([name]) => !OWN.includes(name));
  const findTyped = (serving) => load(TYPED, {})[serving];

  // Remember what is typed for a serving; without fields, forget it.
  function type(serving, fields) {
    const typed = load(TYPED, {});
    delete typed[serving];
    if (fields) typed[serving] = pickBallot(fields);
    try {
      save(TYPED, typed);
    } catch { /* what is typed still stands on the page */ }
  }

  function forgetAllBut(servings) {
    const left = Object.keys(load(TYPED, {})).filter((serving) => !servings.includes(serving));
    left.forEach((serving) => type(serving));
  }

  return { SEAT, listEntries, listWaiting, saveEntries, pickBallot, findTyped, type, forgetAllBut };
})();
