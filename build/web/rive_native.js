// Replaces the animation runtime that the client would fetch from a content network. We have no such animations. The
// client takes the rejection to mean that there is no runtime, and goes on.
globalThis.RiveNative = () => Promise.reject(new Error("no animation runtime in this build"));
