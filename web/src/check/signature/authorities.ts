/**
 * The certificates in a signature: which belong there. Nobody is trusted for being an authority, but
 * a byte that nothing vouches for could be another. The twin of
 * server/bradawl/report/checking/authorities.py.
 */

import { demandKey, isSignedBy, methodOf } from "./algorithms";
import type { Certificate } from "./certificate";
import { isSameBytes } from "./der";

const MOST_CERTIFICATES = 12;

/** Whether every certificate is the signer's own, or vouches for one that belongs here. */
export async function belongTo(own: Certificate, bag: Certificate[]): Promise<boolean> {
  if (bag.length > MOST_CERTIFICATES) return false;
  const seen = new Set([own.fingerprint]);
  let waiting = bag.filter(({ fingerprint }) => !seen.has(fingerprint) && seen.add(fingerprint));
  if (waiting.some(({ key }) => isSameBytes(key.all, own.key.all))) return false;
  const all = [own, ...waiting];
  const belong = [own];
  while (waiting.length > 0) {
    const issuer = await firstThat(waiting, (one) => vouchesForAny(one, belong));
    if (issuer === null) return false;
    if ((await firstThat(all, (above) => vouches(above, issuer))) === null) return false;
    waiting = waiting.filter((one) => one !== issuer);
    belong.push(issuer);
  }
  return true;
}

/** Whether one of these, or itself, vouches for the signer's own certificate. */
export async function isVouchedFor(own: Certificate, bag: Certificate[]): Promise<boolean> {
  return (await firstThat([own, ...bag], (one) => vouches(one, own))) !== null;
}

async function firstThat(
  among: Certificate[],
  isSo: (one: Certificate) => Promise<boolean>,
): Promise<Certificate | null> {
  for (const one of among) if (await isSo(one)) return one;
  return null;
}

async function vouchesForAny(issuer: Certificate, others: Certificate[]): Promise<boolean> {
  return (await firstThat(others, (one) => vouches(issuer, one))) !== null;
}

/** Whether one certificate signed the other, in a way that holds. */
async function vouches(issuer: Certificate, { signed, ...other }: Certificate): Promise<boolean> {
  if (!isSameBytes(issuer.subject, other.issuer)) return false;
  try {
    await demandKey(issuer.key);
    const method = methodOf(signed.algorithm, issuer.key);
    const isAlike = isSameBytes(signed.algorithm.all, signed.inner.all);
    if (method === null || !isAlike) return false;
    // old authorities signed their own certificate with SHA-1; nobody ever found a second text
    if (method.digest === "SHA-1" && issuer.fingerprint !== other.fingerprint) return false;
    return await isSignedBy(issuer.key, method, signed.signature, signed.bytes);
  } catch {
    return false;
  }
}
