"use strict";
// What the phone keeps, in the browser's own database: the ticket in hand, the queue of finished ones, the tables of
// volumes. Every write is waited for until it lies on the disk; only then is it said to be kept.
const Yard = {};

Yard.store = (() => {
  const NAME = "skidway-yard";
  const VERSION = 1;
  let opened = null;

  function open() {
    opened ??= new Promise((resolve, reject) => {
      const asked = indexedDB.open(NAME, VERSION);
      asked.onupgradeneeded = () => {
        const base = asked.result;
        base.createObjectStore("drafts", { keyPath: "key" });
        base.createObjectStore("tickets", { keyPath: "id", autoIncrement: true });
        base.createObjectStore("tables", { keyPath: "terms_id" });
      };
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => reject(asked.error);
    });
    return opened;
  }

  // Does something to the stores in one transaction: all of it is kept, or nothing.
  async function within(names, mode, work) {
    const base = await open();
    return new Promise((resolve, reject) => {
      const transaction = base.transaction(names, mode, { durability: "strict" });
      const answer = {};
      transaction.oncomplete = () => resolve(answer.value);
      transaction.onabort = () => reject(answer.error ?? transaction.error);
      transaction.onerror = () => reject(transaction.error);
      work(transaction, answer);
    });
  }

  const read = (name, key) =>
    within([name], "readonly", (transaction, answer) => {
      const asked = transaction.objectStore(name).get(key);
      asked.onsuccess = () => (answer.value = asked.result);
    });
  const all = (name) =>
    within([name], "readonly", (transaction, answer) => {
      const asked = transaction.objectStore(name).getAll();
      asked.onsuccess = () => (answer.value = asked.result);
    });
  const put = (name, value) => within([name], "readwrite", (transaction) => transaction.objectStore(name).put(value));
  const remove = (name, key) =>
    within([name], "readwrite", (transaction) => transaction.objectStore(name).delete(key));

  // Changes one record as it stands now, whoever else may have changed it meanwhile.
  const change = (name, key, how) =>
    within([name], "readwrite", (transaction) => {
      const store = transaction.objectStore(name);
      const asked = store.get(key);
      asked.onsuccess = () => {
        if (asked.result !== undefined) store.put({ ...asked.result, ...how(asked.result) });
      };
    });

  // Puts a finished ticket into the queue and takes its draft away, in one step. A number is in the queue once.
  const finish = (draft, ticket) =>
    within(["drafts", "tickets"], "readwrite", (transaction, answer) => {
      const tickets = transaction.objectStore("tickets");
      const asked = tickets.getAll();
      asked.onsuccess = () => {
        const same = asked.result.find(
          (one) =>
            one.id !== ticket.id &&
            one.owner === ticket.owner &&
            one.book === ticket.book &&
            one.number === ticket.number &&
            one.state !== "aside",
        );
        if (same !== undefined) {
          answer.error = new Error(`Ticket ${ticket.book} ${ticket.number} is on this phone already.`);
          transaction.abort();
          return;
        }
        tickets.put(ticket);
        transaction.objectStore("drafts").delete(draft);
      };
    });

  return { read, all, put, remove, change, finish };
})();

// How many tickets wait of a person, and of others.
Yard.waiting = async (owner) => {
  const tickets = await Yard.store.all("tickets");
  const open = tickets.filter((one) => one.state === "waiting" || one.state === "refused");
  return { mine: open.filter((one) => one.owner === owner), others: open.filter((one) => one.owner !== owner) };
};
