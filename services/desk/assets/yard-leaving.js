"use strict";
// Signing out of a phone on which tickets wait is asked about first; and whoever signs out leaves no page of theirs
// behind for the next person to open without signal. Their tickets stay.
document.addEventListener("DOMContentLoaded", () => {
  const form = document.querySelector("form.who");
  if (form === null || !("indexedDB" in window)) return;
  let leaving = false;

  const waiting = () =>
    new Promise((resolve) => {
      const asked = indexedDB.open("skidway-yard");
      asked.onerror = () => resolve(0);
      // There is no database yet: nothing waits, and none is made.
      asked.onupgradeneeded = () => asked.transaction.abort();
      asked.onsuccess = () => {
        const base = asked.result;
        const all = base.transaction(["tickets"]).objectStore("tickets").getAll();
        all.onsuccess = () => {
          base.close();
          resolve(all.result.filter((one) => one.owner === form.dataset.owner && (one.state === "waiting" || one.state === "refused")).length);
        };
        all.onerror = () => resolve(0);
      };
    });

  form.addEventListener("submit", async (event) => {
    if (leaving) return;
    event.preventDefault();
    const count = await waiting();
    const question = `${count} of your tickets on this phone are not in the books yet. They stay on the phone, and are sent when you sign in here again. Sign out all the same?`;
    if (count > 0 && !window.confirm(question)) return;
    if ("caches" in window) {
      const names = (await caches.keys()).filter((name) => name.startsWith("skidway-yard"));
      await Promise.all(names.map(async (name) => (await caches.open(name)).delete("/desk/yard")));
    }
    leaving = true;
    form.requestSubmit();
  });
});
