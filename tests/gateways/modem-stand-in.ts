import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { createServer, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { readSubmit, type SubmitRead } from '../../src/core/texts/pdu/submit.js';

export interface ModemMood {
  /** Answers the next PDUs with this line, such as `+CMS ERROR: 38`. */
  refusal?: string;
  /** Takes the PDU and never says anything again. */
  isMute?: boolean;
  /** Pulls the plug once the PDU is there. */
  isPulled?: boolean;
  /** What AT+CPIN? says. */
  sim?: string;
  /** Memory for status reports: kept in SR, or handed through. */
  reports?: 'kept' | 'through' | 'none';
  balance?: string;
}

/** What other programs ask a modem before they work with it. */
const IDENTITY: Readonly<Record<string, readonly string[]>> = {
  'AT+CGMI': ['Scripted'],
  'AT+CGMM': ['Modem'],
  'AT+CGMR': ['1.0'],
  'AT+CGSN': ['350000000000006'],
  'AT+CSCS=?': ['+CSCS: ("GSM","UCS2")'],
  'AT+CSCS?': ['+CSCS: "GSM"'],
  'AT+CSCA?': ['+CSCA: "+254700000000",145'],
  'AT+CPMS=?': ['+CPMS: ("SM"),("SM"),("SM")'],
  'AT+CMGF=?': ['+CMGF: (0)'],
  'AT+CNMI=?': ['+CNMI: (0-2),(0-3),(0,2),(0-2),(0,1)'],
  'AT+CREG?': ['+CREG: 0,1'],
  'AT+CSQ': ['+CSQ: 20,0'],
};

/** Where the first of these characters stands; -1 when none does. */
function firstOf(text: string, characters: string): number {
  return [...text].findIndex((one) => characters.includes(one));
}

/**
 * A scripted modem behind a pseudo-terminal of socat: what toeline opens is a real serial device as far as it can tell.
 * Answers as 3GPP TS 27.005 and 27.007 say; gammu works on it too.
 */
export async function startModem() {
  const folder = mkdtempSync(join(tmpdir(), 'toeline-modem-'));
  const path = join(folder, 'modem');
  const state: { mood: ModemMood } = { mood: {} };
  const commands: string[] = [];
  const sent: SubmitRead[] = [];
  const sentHex: string[] = [];
  const memories = new Map<string, Map<number, string>>([
    ['SM', new Map()],
    ['SR', new Map()],
  ]);
  let memory = 'SM';
  let reference = 100;
  let isUnlocked = false;
  let isEchoing = true;
  let socket: Socket | undefined;
  let plug: ChildProcess | undefined;

  const say = (...lines: string[]) => socket?.write(lines.map((line) => `\r\n${line}\r\n`).join(''));
  const current = () => memories.get(memory) ?? new Map<number, string>();
  const put = (where: string, pdu: string): number => {
    const shelf = memories.get(where) ?? new Map<number, string>();
    let index = 1;
    while (shelf.has(index)) index += 1;
    shelf.set(index, pdu);
    return index;
  };

  function takePdu(hex: string): void {
    const { mood } = state;
    if (mood.isPulled) return void pull();
    if (mood.isMute) {
      sentHex.push(hex);
      sent.push(readSubmit(hex));
      return;
    }
    if (mood.refusal) return void say(mood.refusal);
    sentHex.push(hex);
    sent.push(readSubmit(hex));
    reference = (reference + 1) % 256;
    say(`+CMGS: ${reference}`, 'OK');
  }

  function obey(command: string): void {
    commands.push(command);
    const { mood } = state;
    const identity = IDENTITY[command];
    if (identity !== undefined) return void say(...identity, 'OK');
    if (command === 'AT+CPIN?')
      return void say(`+CPIN: ${isUnlocked ? 'READY' : (mood.sim ?? 'READY')}`, 'OK');
    if (command.startsWith('AT+CPIN=')) {
      isUnlocked = command === 'AT+CPIN="1234"';
      return void say(isUnlocked ? 'OK' : '+CME ERROR: 16');
    }
    if (command.startsWith('AT+CPMS=')) {
      memory = /"(\w+)"/.exec(command)?.[1] ?? memory;
      const used = current().size;
      return void say(`+CPMS: ${used},20,${used},20,${used},20`, 'OK');
    }
    if (command.startsWith('AT+CNMI=') && mood.reports === 'through' && command.includes(',0,2')) {
      return void say('+CMS ERROR: 303');
    }
    if (command === 'AT+CPMS?') {
      const shelf = `"${memory}",${current().size},20`;
      return void say(`+CPMS: ${shelf},${shelf},${shelf}`, 'OK');
    }
    if (command === 'AT+CMGL=4') {
      const entries = [...current()].map(
        ([index, pdu]) => `+CMGL: ${index},0,,${pdu.length / 2 - 8}\r\n${pdu}`,
      );
      return void say(...entries, 'OK');
    }
    const place = /^AT\+CMG([RD])=(\d+)/.exec(command);
    if (place) {
      const pdu = current().get(Number(place[2]));
      if (place[1] === 'D') current().delete(Number(place[2]));
      if (place[1] === 'R' && pdu === undefined) return void say('+CMS ERROR: 321');
      return void say(...(place[1] === 'R' ? [`+CMGR: 0,,${(pdu ?? '').length / 2}\r\n${pdu}`] : []), 'OK');
    }
    if (command.startsWith('AT+CUSD=')) {
      say('OK');
      return void say(`+CUSD: 0,"${mood.balance ?? 'Your balance is 12.50'}",15`);
    }
    if (/^ATE[01]$/.test(command)) isEchoing = command === 'ATE1';
    say(
      /^AT(E[01]|\+CMEE=[012]|\+CSMS=[01]|\+CSCS=.*|\+CREG=.*|\+CFUN=1|\+CSCA=.*|Z|\+CMGF=0|\+CNMI=.*)?$/.test(
        command,
      )
        ? 'OK'
        : 'ERROR',
    );
  }

  const server = createServer((connected) => {
    socket = connected;
    let buffer = '';
    let wantsPdu = false;
    connected.setEncoding('latin1');
    connected.on('error', () => undefined);
    connected.on('data', (bytes) => {
      if (isEchoing) connected.write(bytes);
      buffer += String(bytes);
      for (;;) {
        const end = firstOf(buffer, wantsPdu ? '\x1a\x1b' : '\r\n');
        if (end < 0) return;
        const piece = buffer.slice(0, end);
        const mark = buffer[end];
        buffer = buffer.slice(end + 1);
        if (wantsPdu) {
          wantsPdu = false;
          if (mark === '\x1a') takePdu(piece);
          else say('OK');
        } else if (piece.startsWith('AT+CMGS=')) {
          commands.push(piece);
          wantsPdu = true;
          connected.write('\r\n> ');
        } else if (piece !== '') obey(piece);
      }
    });
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  const port = typeof address === 'object' && address !== null ? address.port : 0;

  async function plugIn(): Promise<void> {
    isUnlocked = false;
    isEchoing = true;
    plug = spawn('socat', [`PTY,raw,echo=0,link=${path}`, `TCP:127.0.0.1:${port}`], { stdio: 'ignore' });
    while (!existsSync(path)) await new Promise((resolve) => setTimeout(resolve, 20));
  }
  async function pull(): Promise<void> {
    const pulled = plug;
    plug = undefined;
    if (pulled) {
      const gone = new Promise((resolve) => pulled.once('exit', resolve));
      pulled.kill('SIGTERM');
      await gone;
    }
    rmSync(path, { force: true });
  }

  await plugIn();
  return {
    path,
    state,
    commands,
    sent,
    sentHex,
    plugIn,
    pull,
    shelf: (where: string) => memories.get(where) ?? new Map<number, string>(),
    lastReference: () => reference,
    /** The modem says something by itself. */
    say,
    /** A text arrives over the air. */
    receive(pdu: string): void {
      say(`+CMTI: "SM",${put('SM', pdu)}`);
    },
    /** A text arrives without being announced (memory looked through later). */
    receiveQuietly: (pdu: string) => void put('SM', pdu),
    /** A status report arrives. */
    report(pdu: string): void {
      if (state.mood.reports === 'through') say(`+CDS: ${pdu.length / 2 - 1}\r\n${pdu}`);
      else say(`+CDSI: "SR",${put('SR', pdu)}`);
    },
    /** The modem hands a text through instead of keeping it. */
    handThrough: (pdu: string) => void say(`+CMT: ,${pdu.length / 2 - 1}\r\n${pdu}`),
    async close(): Promise<void> {
      await pull();
      socket?.destroy();
      await new Promise((resolve) => server.close(resolve));
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
