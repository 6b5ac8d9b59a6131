/** Scripts that the app itself starts, under `require-trusted-types-for 'script'`. */

interface TrustedScripts {
  createScriptURL(address: string): string;
}
interface TrustedTypes {
  createPolicy(name: string, rules: TrustedScripts): TrustedScripts;
}

function ownScript(address: string): string {
  const { origin, pathname } = new URL(address, location.href);
  if (origin !== location.origin || !pathname.startsWith("/app/")) {
    throw new Error(`${address} is not a script of this app.`);
  }
  return address;
}

const policy = (globalThis as { trustedTypes?: TrustedTypes }).trustedTypes?.createPolicy(
  "bradawl",
  {
    createScriptURL: ownScript,
  },
);

export function scriptAddress(address: string): string {
  return policy === undefined ? ownScript(address) : policy.createScriptURL(address);
}
