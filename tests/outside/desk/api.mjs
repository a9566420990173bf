// The API beside the desk: what a page shows is held against it.

/** Asks the API as somebody of a role. */
export function api(house, role) {
  const headers = { Authorization: `Bearer ${house.tokens[role]}` };
  const ask = async (path, options = {}) => {
    const answer = await fetch(house.address + path, { ...options, headers: { ...headers, ...options.headers } });
    const bytes = Buffer.from(await answer.arrayBuffer());
    if (!answer.ok) throw new Error(`${path}: ${answer.status} ${bytes}`);
    return bytes;
  };
  return {
    get: async (path) => JSON.parse(await ask(path)),
    text: async (path) => String(await ask(path)),
    bytes: (path) => ask(path),
    post: async (path, body) =>
      JSON.parse(
        await ask(path, {
          method: "POST",
          body: JSON.stringify(body),
          headers: { "Content-Type": "application/json", "Idempotency-Key": `"${crypto.randomUUID()}"` },
        }),
      ),
    /** Every item of a list, page by page. */
    all: async (path) => {
      const items = [];
      const joint = path.includes("?") ? "&" : "?";
      for (let after = ""; after !== undefined; ) {
        const page = JSON.parse(await ask(after ? `${path}${joint}after=${after}` : path));
        items.push(...page.items);
        after = page.next ?? undefined;
      }
      return items;
    },
  };
}
