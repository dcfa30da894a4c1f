// The worker: the core runs here, so that the page stays quick while it works.
let started;
onmessage = async (message) => {
  const m = message.data;
  if (m.core !== undefined) {
    const bytes = Uint8Array.fromBase64 ? Uint8Array.fromBase64(m.core) : Uint8Array.from(atob(m.core), (c) => c.charCodeAt(0));
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
    const go = new Go();
    const { instance } = await WebAssembly.instantiateStreaming(new Response(stream, { headers: { "content-type": "application/wasm" } }), go.importObject);
    go.run(instance);
    return;
  }
  act(m.events, m.files);
};
