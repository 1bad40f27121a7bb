// The values that findings offer: each is tried before there is a button for it.

// Of what was not tried yet nothing is offered, neither by a button nor in words.
export function unproven(of) {
  if (of.proven) return of;
  for (const one of of.findings) {
    one.offers = one.fixes;
    one.fixes = [];
    if (one.offers.some(([, value]) => one.help?.includes(value))) [one.held, one.help] = [one.help, null];
  }
  return of;
}

// Whether values are still to be tried.
export const isWaiting = of => of.findings.some(one => one.offers?.length);

// Takes up what was tried, by the headlines of the findings.
export function proven(of, rows) {
  const all = new Map(rows.map(([headline, ...rest]) => [headline, rest]));
  for (const one of of.findings) {
    const [fixes, passed, help] = all.get(one.headline) ?? [[], [], one.held ?? one.help];
    Object.assign(one, { fixes, passed, help, offers: null, held: null });
  }
}
