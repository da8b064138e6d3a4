// What is used of nacl.js, which is not ours and sets a global: the check of types reads this in its
// place (tsconfig.json).

export {};

declare global {
  var nacl: {
    sign: {
      keyPair: { fromSeed(seed: Uint8Array): { publicKey: Uint8Array; secretKey: Uint8Array } };
      detached(message: Uint8Array, secretKey: Uint8Array): Uint8Array;
    };
  };
}
