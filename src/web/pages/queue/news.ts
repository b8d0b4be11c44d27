import type { Views } from '../../../store/views/views.js';

/** What the queue looks like from afar; a change of it means that the list is worth fetching again. */
export interface QueueNews {
  readonly now: number;
  readonly open: number;
  /** Changes with every flag that is raised, worsens, is taken or closed. */
  readonly mark: string;
}

export interface QueueWatch {
  /** Tells at once and on every change. Returns how to stop. */
  watch(clinicId: string | null, tell: (news: QueueNews) => void): () => void;
}

const EVERY_MS = 3_000;

/**
 * Looks at the queue of a clinic while somebody has it open: one query every three seconds a clinic, however many
 * nurses look.
 */
export function watchQueues(
  views: Views,
  note: (words: string, error?: unknown) => void,
  everyMs = EVERY_MS,
): QueueWatch {
  interface Watched {
    readonly listeners: Set<(news: QueueNews) => void>;
    last: QueueNews | null;
    readonly timer: NodeJS.Timeout;
  }
  const clinics = new Map<string, Watched>();
  return {
    watch(clinicId, tell) {
      const key = clinicId ?? '';
      const look = async () => {
        const watched = clinics.get(key);
        if (watched === undefined) return;
        try {
          const news = await views.queueNews(clinicId);
          if (news.mark === watched.last?.mark && news.open === watched.last.open) return;
          watched.last = news;
          for (const listener of watched.listeners) listener(news);
        } catch (error) {
          note('The queue could not be looked at for news', error);
        }
      };
      const watched = clinics.get(key) ?? {
        listeners: new Set(),
        last: null,
        timer: setInterval(look, everyMs).unref(),
      };
      clinics.set(key, watched);
      watched.listeners.add(tell);
      if (watched.last === null) void look();
      else tell(watched.last);
      return () => {
        watched.listeners.delete(tell);
        if (watched.listeners.size > 0) return;
        clearInterval(watched.timer);
        if (clinics.get(key) === watched) clinics.delete(key);
      };
    },
  };
}
