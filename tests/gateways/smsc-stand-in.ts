import type { AddressInfo } from 'node:net';
import smpp, { type Pdu, type Session } from 'smpp';
import { SETTINGS } from '../../src/gateways/smpp/settings.js';
import type { Arrived } from './conformance.js';

/** Settings for a gateway that speaks to the stand-in on this port. */
export const smppSettings = (port: number, more: Record<string, unknown> = {}) =>
  SETTINGS.parse({
    host: '127.0.0.1',
    port,
    systemId: 'clinic',
    password: 'secret',
    from: '+15550100000',
    answerWithinSeconds: 2,
    ...more,
  });

export interface SmscMood {
  /** command_status of the next answers to submits. */
  status?: number;
  /** ... but only once so many submits were taken. */
  statusAfter?: number;
  isAnswerLost?: boolean;
  /** Never answers, never hangs up. */
  isMute?: boolean;
  receipts?: 'none' | 'after' | 'before';
}

interface Message {
  readonly message: string;
  readonly udh?: readonly Buffer[];
}

/** An SMSC on loopback by the library's server half, which reads texts with its own tables, not with ours. */
export async function startSmsc() {
  const submits: Pdu[] = [];
  const binds: Pdu[] = [];
  const sessions: Session[] = [];
  const answers: number[] = [];
  const state: { mood: SmscMood } = { mood: {} };
  let serial = 0;
  const server = smpp.createServer((session) => {
    sessions.push(session);
    session.on('error', () => session.destroy());
    const bind = (pdu: Pdu) => {
      binds.push(pdu);
      const isWelcome = pdu.password === 'secret';
      session.send(pdu.response(isWelcome ? { system_id: 'smsc' } : { command_status: 0x0e }));
    };
    session.on('bind_transceiver', bind);
    session.on('bind_transmitter', bind);
    session.on('enquire_link', (pdu: Pdu) => void session.send(pdu.response()));
    session.on('unbind', (pdu: Pdu) => {
      session.send(pdu.response());
      session.close();
    });
    session.on('submit_sm', (pdu: Pdu) => {
      const { mood } = state;
      if (mood.status && submits.length >= (mood.statusAfter ?? 0))
        return void session.send(pdu.response({ command_status: mood.status }));
      submits.push(pdu);
      if (mood.isAnswerLost) return session.destroy();
      if (mood.isMute) return;
      serial += 1;
      const id = `m-${serial}`;
      if (mood.receipts === 'before') receipt(session, id, 'DELIVRD');
      session.send(pdu.response({ message_id: id }));
      if (mood.receipts === 'after') receipt(session, id, 'DELIVRD');
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));

  function deliver(session: Session | undefined, fields: Record<string, unknown>): void {
    session?.deliver_sm(fields, (pdu) => answers.push(pdu.command_status));
  }
  function receipt(session: Session | undefined, id: string, stat: string): void {
    const text = `id:${id} sub:001 dlvrd:001 submit date:2611250900 done date:2611250914 stat:${stat} err:000 text:x`;
    deliver(session, {
      source_addr: '15550100101',
      destination_addr: '15550100000',
      esm_class: 4,
      data_coding: 0,
      short_message: Buffer.from(text, 'latin1'),
    });
  }

  return {
    port: (server.address() as AddressInfo).port,
    submits,
    binds,
    sessions,
    answers,
    state,
    deliver: (fields: Record<string, unknown>) => deliver(sessions.at(-1), fields),
    receipt: (id: string, stat: string) => receipt(sessions.at(-1), id, stat),
    /** Texts as the library's own decoder reads them, parts joined in the order they came. */
    texts(): Arrived[] {
      const texts: { to: string; body: string; ref: number | undefined }[] = [];
      for (const pdu of submits) {
        const { message, udh } = pdu.short_message as Message;
        const ref = udh?.[0]?.[2];
        const last = texts.at(-1);
        if (ref !== undefined && last?.ref === ref) last.body += message;
        else texts.push({ to: `+${String(pdu.destination_addr)}`, body: message, ref });
      }
      return texts.map(({ to, body }) => ({ to, body }));
    },
    close: () => {
      for (const session of sessions) session.destroy();
      return new Promise<void>((resolve) => server.close(() => resolve()));
    },
  };
}
