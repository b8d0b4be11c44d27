import type { ClinicId } from '../core/model/ids.js';
import { type Clinic, clinicOf } from '../store/clinics.js';
import type { Store } from '../store/store.js';

/** A clinic's settings, looked up at most every five seconds: a change takes hold within that time. */
export function clinicsByTime(store: Store): (id: ClinicId) => Promise<Clinic> {
  const known = new Map<ClinicId, { clinic: Promise<Clinic>; until: number }>();
  return (id) => {
    const now = performance.now();
    const hit = known.get(id);
    if (hit !== undefined && hit.until > now) return hit.clinic;
    const clinic = clinicOf(store, id);
    known.set(id, { clinic, until: now + 5_000 });
    clinic.catch(() => known.delete(id));
    return clinic;
  };
}
