/** The cache of judge and checklists, each under the hash of its content: written by the service worker. */
export const CONTENT = "bradawl-content";
