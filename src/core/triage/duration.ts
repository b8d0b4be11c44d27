import { z } from 'zod';

const MINUTES = { minute: 1, hour: 60, day: 1440 } as const;

/** A length of time as people write it in a rules file ("30 minutes", "2 hours", "3 days"), read into minutes. */
export const durationSchema = z
  .string()
  .regex(/^\d{1,4} (minute|hour|day)s?$/, 'a length of time such as "30 minutes", "2 hours" or "3 days"')
  .transform((written) => {
    const [count, unit] = written.split(' ');
    const name = (unit ?? '').replace(/s$/, '') as keyof typeof MINUTES;
    return Number(count) * MINUTES[name];
  });
