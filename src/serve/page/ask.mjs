// What the page asks of the server, and what it is told.

// Why something was not done: a sentence, and whether something else stands there by now.
export class Refused extends Error {
  constructor(words, outside) { super(words); this.outside = outside; }
}

async function answer(response) {
  const kind = response.headers.get("content-type") || "";
  const body = kind.includes("json") ? await response.json() : { why: await response.text() };
  if (!response.ok) throw new Refused(body.why || "the program does not respond", response.status === 409);
  return body;
}

export const get = async (path, query = {}) => {
  const words = new URLSearchParams(query).toString();
  return answer(await fetch(words ? `${path}?${words}` : path));
};

export const post = async (path, body = {}) => answer(await fetch(path, {
  method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body),
}));

// Whether an answer is still wanted when it comes: a trial is superseded by any later request, a look
// only by a later look.
export function requests() {
  let looks = 0, all = 0;
  return {
    look: () => { const mine = ++looks; all++; return () => mine === looks; },
    attempt: () => { const mine = ++all; return () => mine === all; },
  };
}

// Calls `heard` with everything that is told, for as long as the page is open.
export function listen(heard) {
  const events = new EventSource("/events");
  events.onmessage = event => heard(JSON.parse(event.data));
  events.onopen = () => heard({ kind: "connected" });
  events.onerror = () => heard({ kind: "lost" });
}
