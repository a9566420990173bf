"use strict";
// The queue of finished tickets: shown, and sent when there is signal, in order, one at a time, by one tab alone.
Yard.queue = (form, changed) => {
  const owner = form.dataset.owner;
  const MONTH = 30 * 24 * 60 * 60 * 1000;
  let state = { offline: !navigator.onLine, sign_in: false, other: false };
  let again = 0;

  const formKey = () => form.elements.form_key.value;

  // Whose session it is now; a page that was kept carries the key of the session it was made for.
  async function renew() {
    const answer = await fetch("/desk/yard/who", { redirect: "manual" });
    if (answer.type === "opaqueredirect") return "sign_in";
    if (!answer.ok) return "offline";
    const who = await answer.json();
    if (who.owner !== owner) return "other";
    const renewed = who.form_key !== formKey();
    form.elements.form_key.value = who.form_key;
    return renewed ? "renewed" : "same";
  }

  // Hands one ticket to the service. Answers what became of it; nothing at all means: try again later.
  async function hand(one) {
    const body = { owner, ticket: { ...one.ticket, sent_at: new Date().toISOString() } };
    if (one.corrects) Object.assign(body, { corrects: one.corrects, reason: one.reason });
    const answer = await fetch("/desk/yard/send", {
      method: "POST",
      redirect: "manual",
      headers: { "Content-Type": "application/json", "form-key": formKey() },
      body: JSON.stringify(body),
      signal: AbortSignal.timeout(60_000),
    });
    if (answer.type === "opaqueredirect") return { stop: "sign_in" };
    const kind = answer.headers.get("content-type") ?? "";
    if (answer.ok && kind.startsWith("application/json")) return { kept: await answer.json() };
    if (answer.status === 409 && kind.startsWith("application/json")) return { stop: "other" };
    const judged = kind.startsWith("application/problem+json") && answer.status < 500;
    if (judged && answer.status !== 429) return { refused: await answer.json() };
    if (answer.status === 403) return { stop: "key" };
    return { stop: "offline" };
  }

  async function sendAll() {
    let stop = null;
    for (;;) {
      const waiting = (await Yard.waiting(owner)).mine.filter((one) => one.state === "waiting");
      const one = waiting[0];
      if (one === undefined || stop !== null) break;
      const answer = await hand(one);
      if (answer.kept) {
        await Yard.store.change("tickets", one.id, () => ({ state: "sent", sent_at: new Date().toISOString(), ...answer.kept }));
        state = { offline: false, sign_in: false, other: false };
      } else if (answer.refused) {
        await Yard.store.change("tickets", one.id, () => ({ state: "refused", problem: answer.refused }));
      } else if (answer.stop === "key") {
        const now = await renew();
        if (now !== "renewed") stop = now === "same" ? "offline" : now;
      } else {
        stop = answer.stop;
      }
      await show();
    }
    if (stop !== null) state = { offline: stop === "offline", sign_in: stop === "sign_in", other: stop === "other" };
  }

  // Sends whatever waits. Only one tab of the browser does at a time; the lock goes when the tab does.
  async function send() {
    clearTimeout(again);
    try {
      await navigator.locks.request("skidway-yard-send", { ifAvailable: true }, async (lock) => {
        if (lock !== null) await sendAll();
      });
    } catch {
      state = { offline: true, sign_in: false, other: false };
    }
    await show();
    const { mine } = await Yard.waiting(owner);
    if (navigator.onLine && !state.sign_in && !state.other && mine.some((one) => one.state === "waiting")) {
      again = setTimeout(send, 30_000);
    }
  }

  function element(name, text, attributes = {}) {
    const made = document.createElement(name);
    if (text !== null) made.textContent = text;
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    return made;
  }

  function button(text, id, act) {
    const made = element("button", text, { type: "button", class: "second", id });
    made.addEventListener("click", act);
    return made;
  }

  const since = (instant) => new Date(instant).toLocaleString("sv-SE", { dateStyle: "short", timeStyle: "short" });

  function entry(one) {
    const item = element("li", null, { id: `queued-${one.id}`, "data-state": one.state });
    const sticks = one.ticket.pieces.length === 1 ? "1 stick" : `${one.ticket.pieces.length} sticks`;
    item.append(element("strong", `${one.book} ${one.number}`), `, ${sticks}: `);
    if (one.state === "waiting") item.append(`waits since ${since(one.queued_at)}`);
    if (one.state === "sent") {
      item.append("sent ", element("a", since(one.sent_at), { href: `/desk/yard/tickets/${one.ticket_id}` }));
    }
    if (one.state === "aside") item.append(`set aside: ${one.aside_reason}`);
    if (one.state === "refused") {
      const { title, detail, advice = "" } = one.problem;
      item.append(`refused. ${title}. ${detail}${/[.?!]$/.test(detail) ? "" : "."} ${advice}`);
      const buttons = element("div", null);
      const reason = element("input", null, { id: `aside-reason-${one.id}`, "aria-label": `Why ticket ${one.book} ${one.number} is set aside` });
      reason.placeholder = "reason";
      buttons.append(
        button("Open it again", `reopen-${one.id}`, () => changed.reopen(one)),
        button("Set it aside", `aside-${one.id}`, async () => {
          if (reason.value.trim() === "") return reason.focus();
          await Yard.store.change("tickets", one.id, () => ({ state: "aside", aside_reason: reason.value.trim() }));
          await show();
          document.getElementById("queue-title").focus();
        }),
        reason,
      );
      item.append(buttons);
    }
    return item;
  }

  function told(mine, refused, sent, others) {
    const says = [];
    says.push(state.offline || !navigator.onLine ? "Offline" : "Signal");
    says.push(`${mine.length} waiting`, `${refused.length} refused`, `${sent.length} sent`);
    let text = `${says.join(" · ")}.`;
    if (mine.length > 0) text += ` The oldest waits since ${since(mine[0].queued_at)}.`;
    if (state.other) text += " Somebody else is signed in now: your tickets are kept, and sent when you sign in.";
    if (others.length > 0) {
      text += ` ${others.length} of somebody else on this phone: kept, not shown, and sent when they sign in.`;
    }
    return text;
  }

  async function show() {
    const everything = await Yard.store.all("tickets");
    const own = everything.filter((one) => one.owner === owner);
    const of = (name) => own.filter((one) => one.state === name);
    const others = everything.filter((one) => one.owner !== owner && (one.state === "waiting" || one.state === "refused"));
    const recent = of("sent").filter((one) => Date.now() - Date.parse(one.sent_at) < MONTH);
    const signal = document.getElementById("yard-signal");
    const text = told(of("waiting"), of("refused"), recent, others);
    if (signal.firstChild?.textContent !== text) signal.replaceChildren(element("p", text));
    signal.hidden = false;
    signal.classList.add("notice");
    const list = document.getElementById("queue-list");
    const waiting = element("ul", null, { class: "plain", id: "queue-open" });
    for (const one of [...of("refused"), ...of("waiting")]) waiting.append(entry(one));
    const parts = [waiting];
    if (state.sign_in) {
      const way = element("p", "You are not signed in any more. Nothing is lost: ");
      way.append(element("a", "sign in to send", { href: "/desk/sign-in?next=/desk/yard", id: "sign-in-to-send" }));
      parts.unshift(way);
    }
    if (of("waiting").length > 0) parts.push(button("Send now", "send-now", send));
    for (const [name, title, items] of [["sent", "Sent, in the last 30 days", recent], ["aside", "Set aside", of("aside")]]) {
      if (items.length === 0) continue;
      const details = element("details", null, { id: `queue-${name}` });
      const inner = element("ul", null, { class: "plain" });
      for (const one of [...items].reverse()) inner.append(entry(one));
      details.append(element("summary", `${title}: ${items.length}`), inner);
      parts.push(details);
    }
    list.replaceChildren(...parts);
    document.getElementById("queue").hidden = own.length === 0;
  }

  window.addEventListener("online", () => {
    state.offline = false;
    send();
  });
  window.addEventListener("offline", () => {
    state.offline = true;
    show();
  });
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && send());
  return { send, show, renew, signal: () => navigator.onLine && !state.offline, lost: () => (state.offline = true) };
};
