// What a seat's device keeps, in localStorage, by the seat's token: an outbox of taps that could
// not leave, and what is typed but not locked. Read anew each time: two pages may be open.
// A browser may write localStorage to the disk a minute late, and a crash or a power cut would
// take what was kept meanwhile. IndexedDB can be told to write at once, so it holds a copy.
const seatStore = (() => {
  const SEAT = location.pathname.split("/")[2];
  const OUTBOX = `oddcup outbox ${SEAT}`; // [{path, fields, key, device_at, serving, round, state}]
  const TYPED = `oddcup typed ${SEAT}`; // {serving: fields}
  const COUNT = `oddcup count ${SEAT}`; // of changes: whether the copy knows more
  const OWN = ["serving", "client_key", "device_at", "sent_at"]; // fields that are not the ballot's

  function load(name, empty) {
    try {
      return JSON.parse(localStorage.getItem(name)) ?? empty;
    } catch { // forbidden, or not ours
      return empty;
    }
  }

  const copies = new Promise((done, fail) => {
    const opening = indexedDB.open("oddcup", 1);
    opening.onupgradeneeded = () => opening.result.createObjectStore("seats");
    opening.onsuccess = () => done(opening.result);
    opening.onerror = fail;
  });

  // May throw: storage can be full or forbidden. Without a copy it is as good as before.
  function save(name, value) {
    const count = load(COUNT, 0) + 1;
    localStorage.setItem(COUNT, count);
    localStorage.setItem(name, JSON.stringify(value));
    const copy = { count, outbox: listEntries(), typed: load(TYPED, {}) };
    const durability = name === OUTBOX ? "strict" : "relaxed";
    copies.then((db) => {
      db.transaction("seats", "readwrite", { durability }).objectStore("seats").put(copy, SEAT);
    }).catch(() => {});
  }

  async function readCopy() {
    const reading = (await copies).transaction("seats").objectStore("seats").get(SEAT);
    return new Promise((done, fail) => {
      reading.onsuccess = () => done(reading.result);
      reading.onerror = fail;
    });
  }

  // After a crash: put back what only the copy holds, before what was tapped since.
  async function restore() {
    const count = load(COUNT, 0), known = listEntries().map((one) => one.key);
    const late = new Promise((done) => { setTimeout(done, 2000); });
    const copy = await Promise.race([readCopy().catch(() => {}), late]);
    if (!copy || copy.count <= count) return;
    const fresh = listEntries().filter((one) => !known.includes(one.key));
    save(TYPED, { ...copy.typed, ...load(TYPED, {}) });
    save(OUTBOX, [...copy.outbox, ...fresh]);
  }

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

  return {
    SEAT, listEntries, listWaiting, saveEntries, pickBallot, findTyped, type, forgetAllBut, restore,
  };
})();
