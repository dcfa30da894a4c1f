// The worker: the core runs here, so that the page stays quick while it works.

// bytesOf reads base 85, as cmd/page/base85.go writes it: five characters from
// ( to ~, without < and \, for four bytes. What was damaged on its way gives
// other bytes, which the checksum of what is packed finds.
function bytesOf(text) {
  const digit = new Uint8Array(256);
  for (let c = 40, d = 0; c < 127; c++) if (c !== 60 && c !== 92) digit[c] = d++;
  const from = new TextEncoder().encode(text + "~~~~"); // the last five are full
  const to = new Uint8Array(Math.floor(from.length / 5) * 4);
  for (let i = 0, at = 0; at < to.length; i += 5) {
    // Whole numbers of 32 bits are what a browser multiplies fast.
    const high = (digit[from[i]] * 85 + digit[from[i + 1]]) * 85 + digit[from[i + 2]], low = digit[from[i + 3]] * 85 + digit[from[i + 4]];
    const four = Math.imul(high, 7225) + low;
    to[at++] = four >>> 24;
    to[at++] = four >>> 16;
    to[at++] = four >>> 8;
    to[at++] = four;
  }
  return to.subarray(0, Math.floor(text.length * 4 / 5));
}
// packed gives the core piece by piece: what came before is compiled meanwhile.
function packed(core) {
  let at = 0;
  return new ReadableStream({ pull(to) {
    if (at >= core.length) return to.close();
    to.enqueue(bytesOf(core.slice(at, at += 5 << 16)));
  } });
}
async function start(core) {
  const stream = packed(core).pipeThrough(new DecompressionStream("gzip"));
  const go = new Go();
  const { instance } = await WebAssembly.instantiateStreaming(new Response(stream, { headers: { "content-type": "application/wasm" } }), go.importObject);
  go.run(instance);
}
onmessage = (message) => {
  const m = message.data;
  if (m.core !== undefined) start(m.core).catch((why) => postMessage({ failed: String(why) }));
  else act(m.events, m.files);
};
