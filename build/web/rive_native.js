// Stands where the client would fetch an animation runtime from a content network. The app draws no such
// animation, so "there is none" is the whole answer: the client takes a refusal as that and goes on.
globalThis.RiveNative = () => Promise.reject(new Error("no animation runtime in this build"));
