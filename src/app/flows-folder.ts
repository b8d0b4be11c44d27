import { fileURLToPath } from 'node:url';

/** The clinic-changeable data that ships with toeline; the same place seen from `src/app` and from `dist/app`. */
export const FLOWS_FOLDER = fileURLToPath(new URL('../../flows', import.meta.url));
