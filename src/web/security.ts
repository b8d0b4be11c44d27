import { timingSafeEqual } from 'node:crypto';
import type { NextFunction, Request, Response } from 'express';
import { STYLE_HASH } from './style.js';

/** What a browser may do on our pages: our own style, our own script file, forms to ourselves, nothing else. */
const POLICY = [
  "default-src 'none'",
  `style-src ${STYLE_HASH}`,
  "script-src 'self'",
  "img-src 'self' data:",
  "connect-src 'self'",
  "form-action 'self'",
  "base-uri 'none'",
  "frame-ancestors 'none'",
].join('; ');

/** Headers of every answer. Pages hold families' words: they are kept in no cache. */
export function securityHeaders(_request: Request, response: Response, next: NextFunction): void {
  response.set({
    'Content-Security-Policy': POLICY,
    'X-Content-Type-Options': 'nosniff',
    'Referrer-Policy': 'same-origin',
    'Cross-Origin-Opener-Policy': 'same-origin',
    'Cache-Control': 'no-store',
  });
  next();
}

/** Compares two secrets in time that does not depend on where they differ. Empty ones never match. */
export function sameSecret(a: string, b: string): boolean {
  const [left, right] = [Buffer.from(a), Buffer.from(b)];
  return left.length > 0 && left.length === right.length && timingSafeEqual(left, right);
}

/** A path on this site, or the fallback: never somebody else's address. */
export function ownPath(path: string, fallback: string): string {
  return /^\/(?![/\\])[^\s\\]*$/.test(path) ? path : fallback;
}
