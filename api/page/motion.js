// Shapes of one board along a slider: known at some places, drawn between them in
// straight lines while the slider moves.

export class Motion {
  // places are where shapes are asked for; ask gives the shape at one.
  constructor(places, ask) {
    this.places = places;
    this.ask = ask;
    this.reset();
  }

  // reset forgets what was known: the board is another.
  reset() {
    this.known = new Map();
    this.turn = (this.turn || 0) + 1;
  }

  // learn asks for what is not known yet, what lies next to a place first.
  async learn(near) {
    const turn = this.turn;
    for (const p of [...this.places].sort((a, b) => Math.abs(a - near) - Math.abs(b - near))) {
      if (turn !== this.turn) return;
      if (this.known.has(p)) continue;
      this.known.set(p, null);
      try {
        const s = await this.ask(p);
        if (turn === this.turn) this.known.set(p, s);
      } catch {
        if (turn === this.turn) this.known.delete(p);
        return;
      }
    }
  }

  // at draws the shape between two known ones; words are those of the nearer. Null
  // while one of them is not known.
  at(x) {
    const lo = Math.max(...this.places.filter((p) => p <= x)), hi = Math.min(...this.places.filter((p) => p >= x));
    const a = this.known.get(lo), b = this.known.get(hi);
    if (!a || !b) return null;
    const t = hi === lo ? 0 : (x - lo) / (hi - lo), mix = (p, q) => p + t * (q - p);
    return { ...(t < 0.5 ? a : b), pieces: a.pieces.map((p, i) => {
      const q = b.pieces[i];
      return { ...p, free: { xx: mix(p.free.xx, q.free.xx), yy: mix(p.free.yy, q.free.yy), xy: mix(p.free.xy, q.free.xy) },
        to: p.to.map((v, k) => [mix(v[0], q.to[k][0]), mix(v[1], q.to[k][1])]) };
    }) };
  }
}
