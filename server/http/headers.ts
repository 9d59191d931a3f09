import type { RequestHandler } from "express";
import helmet from "helmet";

/** Pages may load their own files and speak to their own server, and nothing else. */
export function headers(): RequestHandler {
  return helmet({
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        scriptSrc: ["'self'"],
        styleSrc: ["'self'"],
        // Preact sets style attributes through the DOM, which needs no exception.
        imgSrc: ["'self'", "data:", "blob:"],
        fontSrc: ["'self'"],
        workerSrc: ["'self'"],
        mediaSrc: ["'self'", "data:", "blob:"],
        connectSrc: [
          "'self'",
          // Safari does not count a WebSocket to the same place as 'self'.
          (request) => `ws://${request.headers.host} wss://${request.headers.host}`,
        ],
        baseUri: ["'none'"],
        formAction: ["'none'"],
        frameAncestors: ["'self'"],
      },
    },
    // The pages are served over plain http on a local network.
    strictTransportSecurity: false,
    crossOriginOpenerPolicy: false,
    originAgentCluster: false,
    // The waiting file asks from a page without an origin whether the server is there.
    crossOriginResourcePolicy: { policy: "cross-origin" },
  });
}
