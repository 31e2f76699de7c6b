// The smallest merge patch (RFC 7396) from one JSON value to another: what an edit sends.

const isObject = (v) => v !== null && typeof v === "object" && !Array.isArray(v);

export function patch(from, to) {
  const out = {};
  for (const key of Object.keys(from)) if (!(key in to)) out[key] = null;
  for (const [key, v] of Object.entries(to)) {
    if (isObject(v) && isObject(from[key])) {
      const inner = patch(from[key], v);
      if (Object.keys(inner).length) out[key] = inner;
    } else if (JSON.stringify(from[key]) !== JSON.stringify(v)) out[key] = v;
  }
  return out;
}
