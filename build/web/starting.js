// Shows our starting screen until Python has drawn something: the client's own first frame comes seconds earlier and
// shows nothing of the application. Starts the client once the page has its token.
(() => {
  // In a packet of Flet's protocol, byte 0 is its type, byte 1 opens an array, and byte 2 is the message's action.
  const PATCH_CONTROL = 2;
  const connect = globalThis.jsConnect;

  const leave = () => requestAnimationFrame(() => requestAnimationFrame(
    () => document.getElementById("starting")?.remove()));

  globalThis.jsConnect = async (appId, args, onMessage) => {
    const watched = (packet) => {
      onMessage(packet);
      if (packet[0] === 0 && packet[2] === PATCH_CONTROL) leave();
    };
    try {
      await connect(appId, args, watched);
    } catch (fault) {
      leave(); // the client shows what went wrong
      throw fault;
    }
  };

  Promise.all([companionPage.ready, companionWindow.controlled]).then(() => {
    const client = document.createElement("script");
    client.src = "flutter_bootstrap.js";
    document.body.append(client);
  });
})();
