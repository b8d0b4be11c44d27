/**
 * National language shift tables of 3GPP TS 23.038 annex A (release 18), by national language identifier.
 * Transcription: github ndf-zz/gsmcodecs 4b7764b (MIT, (c) 2025 ndf-zz), corrected where two further transcriptions
 * (lighterowl/lib3gpp23038, Android's GsmAlphabet) agree against it. Disputed and left as phones have it: Kannada
 * locking 0x24. U+FFFD marks a septet without a character; septet 0x1B is the escape and stands as U+FFFD too.
 */

/** Locking tables replace the default alphabet: 128 characters in the order of the septets. */
export const LOCKING_TABLES: Readonly<Record<number, string>> = {
  /* Turkish */
  1:
    '@£$¥€éùıòÇ\nĞğ\rÅåΔ_ΦΓΛΩΠΨΣΘΞ\ufffdŞşßÉ' +
    ' !"#¤%&\'()*+,-./0123456789:;<=>?' +
    'İABCDEFGHIJKLMNOPQRSTUVWXYZÄÖÑÜ§' +
    'çabcdefghijklmnopqrstuvwxyzäöñüà',
  /* Portuguese */
  3:
    '@£$¥êéúíóç\nÔô\rÁáΔ_ªÇÀ∞^\\€Ó|\ufffdÂâÊÉ' +
    ' !"#º%&\'()*+,-./0123456789:;<=>?' +
    'ÍABCDEFGHIJKLMNOPQRSTUVWXYZÃÕÚÜ§' +
    '~abcdefghijklmnopqrstuvwxyzãõ`üà',
  /* Bengali */
  4:
    '\u0981\u0982\u0983অআইঈউঊঋ\nঌ\ufffd\r\ufffdএঐ\ufffd\ufffdওঔকখগঘঙচ\ufffdছজঝঞ' +
    ' !টঠডঢণত)(থদ,ধ.ন0123456789:;\ufffdপফ?' +
    'বভমযর\ufffdল\ufffd\ufffd\ufffdশষসহ\u09bcঽ\u09be\u09bf\u09c0\u09c1\u09c2\u09c3\u09c4\ufffd\ufffd\u09c7\u09c8\ufffd\ufffd\u09cb\u09cc\u09cd' +
    'ৎabcdefghijklmnopqrstuvwxyz\u09d7ড়ঢ়ৰৱ',
  /* Gujarati */
  5:
    '\u0a81\u0a82\u0a83અઆઇઈઉઊઋ\nઌઍ\r\ufffdએઐઑ\ufffdઓઔકખગઘઙચ\ufffdછજઝઞ' +
    ' !ટઠડઢણત)(થદ,ધ.ન0123456789:;\ufffdપફ?' +
    'બભમયર\ufffdલળ\ufffdવશષસહ\u0abcઽ\u0abe\u0abf\u0ac0\u0ac1\u0ac2\u0ac3\u0ac4\u0ac5\ufffd\u0ac7\u0ac8\u0ac9\ufffd\u0acb\u0acc\u0acd' +
    'ૐabcdefghijklmnopqrstuvwxyzૠૡ\u0ae2\u0ae3૱',
  /* Hindi */
  6:
    '\u0901\u0902\u0903अआइईउऊऋ\nऌऍ\rऎएऐऑऒओऔकखगघङच\ufffdछजझञ' +
    ' !टठडढणत)(थद,ध.न0123456789:;ऩपफ?' +
    'बभमयरऱलळऴवशषसह\u093cऽ\u093e\u093f\u0940\u0941\u0942\u0943\u0944\u0945\u0946\u0947\u0948\u0949\u094a\u094b\u094c\u094d' +
    'ॐabcdefghijklmnopqrstuvwxyzॲॻॼॾॿ',
  /* Kannada */
  7:
    '\ufffd\u0c82\u0c83ಅಆಇಈಉಊಋ\nಌ\ufffd\rಎಏಐ\ufffdಒಓಔಕಖಗಘಙಚ\ufffdಛಜಝಞ' +
    ' !ಟಠಡಢಣತ)(ಥದ,ಧ.ನ0123456789:;\ufffdಪಫ?' +
    'ಬಭಮಯರಱಲಳ\ufffdವಶಷಸಹ\u0cbcಽ\u0cbe\u0cbf\u0cc0\u0cc1\u0cc2\u0cc3\u0cc4\ufffd\u0cc6\u0cc7\u0cc8\ufffd\u0cca\u0ccb\u0ccc\u0ccd' +
    '\u0cd5abcdefghijklmnopqrstuvwxyz\u0cd6ೠೡ\u0ce2\u0ce3',
  /* Malayalam */
  8:
    '\ufffd\u0d02\u0d03അആഇഈഉഊഋ\nഌ\ufffd\rഎഏഐ\ufffdഒഓഔകഖഗഘങച\ufffdഛജഝഞ' +
    ' !ടഠഡഢണത)(ഥദ,ധ.ന0123456789:;\ufffdപഫ?' +
    'ബഭമയരറലളഴവശഷസഹ\ufffdഽ\u0d3e\u0d3f\u0d40\u0d41\u0d42\u0d43\u0d44\ufffd\u0d46\u0d47\u0d48\ufffd\u0d4a\u0d4b\u0d4c\u0d4d' +
    '\u0d57abcdefghijklmnopqrstuvwxyzൠൡ\u0d62\u0d63൹',
  /* Oriya */
  9:
    '\u0b01\u0b02\u0b03ଅଆଇଈଉଊଋ\nଌ\ufffd\r\ufffdଏଐ\ufffd\ufffdଓଔକଖଗଘଙଚ\ufffdଛଜଝଞ' +
    ' !ଟଠଡଢଣତ)(ଥଦ,ଧ.ନ0123456789:;\ufffdପଫ?' +
    'ବଭମଯର\ufffdଲଳ\ufffdଵଶଷସହ\u0b3cଽ\u0b3e\u0b3f\u0b40\u0b41\u0b42\u0b43\u0b44\ufffd\ufffd\u0b47\u0b48\ufffd\ufffd\u0b4b\u0b4c\u0b4d' +
    '\u0b56abcdefghijklmnopqrstuvwxyz\u0b57ୠୡ\u0b62\u0b63',
  /* Punjabi */
  10:
    '\u0a01\u0a02\u0a03ਅਆਇਈਉਊ\ufffd\n\ufffd\ufffd\r\ufffdਏਐ\ufffd\ufffdਓਔਕਖਗਘਙਚ\ufffdਛਜਝਞ' +
    ' !ਟਠਡਢਣਤ)(ਥਦ,ਧ.ਨ0123456789:;\ufffdਪਫ?' +
    'ਬਭਮਯਰ\ufffdਲਲ਼\ufffdਵਸ਼\ufffdਸਹ\u0a3c\ufffd\u0a3e\u0a3f\u0a40\u0a41\u0a42\ufffd\ufffd\ufffd\ufffd\u0a47\u0a48\ufffd\ufffd\u0a4b\u0a4c\u0a4d' +
    '\u0a51abcdefghijklmnopqrstuvwxyz\u0a70\u0a71ੲੳੴ',
  /* Tamil */
  11:
    '\ufffd\u0b82ஃஅஆஇஈஉஊ\ufffd\n\ufffd\ufffd\rஎஏஐ\ufffdஒஓஔக\ufffd\ufffd\ufffdஙச\ufffd\ufffdஜ\ufffdஞ' +
    ' !ட\ufffd\ufffd\ufffdணத)(\ufffd\ufffd,\ufffd.ந0123456789:;னப\ufffd?' +
    '\ufffd\ufffdமயரறலளழவஶஷஸஹ\ufffd\ufffd\u0bbe\u0bbf\u0bc0\u0bc1\u0bc2\ufffd\ufffd\ufffd\u0bc6\u0bc7\u0bc8\ufffd\u0bca\u0bcb\u0bcc\u0bcd' +
    'ௐabcdefghijklmnopqrstuvwxyz\u0bd7௰௱௲௹',
  /* Telugu */
  12:
    '\u0c01\u0c02\u0c03అఆఇఈఉఊఋ\nఌ\ufffd\rఎఏఐ\ufffdఒఓఔకఖగఘఙచ\ufffdఛజఝఞ' +
    ' !టఠడఢణత)(థద,ధ.న0123456789:;\ufffdపఫ?' +
    'బభమయరఱలళ\ufffdవశషసహ\ufffdఽ\u0c3e\u0c3f\u0c40\u0c41\u0c42\u0c43\u0c44\ufffd\u0c46\u0c47\u0c48\ufffd\u0c4a\u0c4b\u0c4c\u0c4d' +
    '\u0c55abcdefghijklmnopqrstuvwxyz\u0c56ౠౡ\u0c62\u0c63',
  /* Urdu */
  13:
    '\u0627\u0622\u0628\u067b\u0680\u067e\u06a6\u062a\u06c2\u067f\n\u0679\u067d\r\u067a\u067c\u062b\u062c\u0681\u0684\u0683\u0685\u0686\u0687\u062d\u062e\u062f\ufffd\u068c\u0688\u0689\u068a' +
    ' !\u068f\u068d\u0630\u0631\u0691\u0693)(\u0699\u0632,\u0696.\u06980123456789:;\u069a\u0633\u0634?' +
    '\u0635\u0636\u0637\u0638\u0639\u0641\u0642\u06a9\u06aa\u06ab\u06af\u06b3\u06b1\u0644\u0645\u0646\u06ba\u06bb\u06bc\u0648\u06c4\u06d5\u06c1\u06be\u0621\u06cc\u06d0\u06d2\u064d\u0650\u064f\u0657' +
    '\u0654abcdefghijklmnopqrstuvwxyz\u0655\u0651\u0653\u0656\u0670',
};

/** Single shift tables replace the extension table: the first septet of a run, and the characters of the run. */
export const SINGLE_SHIFT_TABLES: Readonly<Record<number, readonly (readonly [number, string])[]>> = {
  /* Turkish */
  1: [
    [0x0a, '\f'],
    [0x14, '^'],
    [0x28, '{}'],
    [0x2f, '\\'],
    [0x3c, '[~]'],
    [0x40, '|'],
    [0x47, 'Ğ'],
    [0x49, 'İ'],
    [0x53, 'Ş'],
    [0x63, 'ç'],
    [0x65, '€'],
    [0x67, 'ğ'],
    [0x69, 'ı'],
    [0x73, 'ş'],
  ],
  /* Spanish */
  2: [
    [0x09, 'ç\f'],
    [0x14, '^'],
    [0x28, '{}'],
    [0x2f, '\\'],
    [0x3c, '[~]'],
    [0x40, '|Á'],
    [0x49, 'Í'],
    [0x4f, 'Ó'],
    [0x55, 'Ú'],
    [0x61, 'á'],
    [0x65, '€'],
    [0x69, 'í'],
    [0x6f, 'ó'],
    [0x75, 'ú'],
  ],
  /* Portuguese */
  3: [
    [0x05, 'ê'],
    [0x09, 'ç\fÔô'],
    [0x0e, 'Áá'],
    [0x12, 'ΦΓ^ΩΠΨΣΘ'],
    [0x1f, 'Ê'],
    [0x28, '{}'],
    [0x2f, '\\'],
    [0x3c, '[~]'],
    [0x40, '|À'],
    [0x49, 'Í'],
    [0x4f, 'Ó'],
    [0x55, 'Ú'],
    [0x5b, 'ÃÕ'],
    [0x61, 'Â'],
    [0x65, '€'],
    [0x69, 'í'],
    [0x6f, 'ó'],
    [0x75, 'ú'],
    [0x7b, 'ãõ'],
    [0x7f, 'â'],
  ],
  /* Bengali */
  4: [
    [0x00, '@£$¥¿"¤%&\'\f*+'],
    [0x0e, '-/<=>¡^¡_#*০১'],
    [0x1c, '২৩৪৫৬৭৮৯য়ৠৡ\u09e2{}\u09e3৲৳৴৵\\৶৷৸৹৺'],
    [0x3c, '[~]'],
    [0x40, '|ABCDEFGHIJKLMNOPQRSTUVWXYZ'],
    [0x65, '€'],
  ],
  /* Gujarati */
  5: [
    [0x00, '@£$¥¿"¤%&\'\f*+'],
    [0x0e, '-/<=>¡^¡_#*।॥'],
    [0x1c, '૦૧૨૩૪૫૬૭૮૯'],
    [0x28, '{}'],
    [0x2f, '\\'],
    [0x3c, '[~]'],
    [0x40, '|ABCDEFGHIJKLMNOPQRSTUVWXYZ'],
    [0x65, '€'],
  ],
  /* Hindi */
  6: [
    [0x00, '@£$¥¿"¤%&\'\f*+'],
    [0x0e, '-/<=>¡^¡_#*।॥'],
    [0x1c, '०१२३४५६७८९\u0951\u0952{}\u0953\u0954क़ख़ग़\\ज़ड़ढ़फ़य़ॠॡ\u0962\u0963॰ॱ'],
    [0x3c, '[~]'],
    [0x40, '|ABCDEFGHIJKLMNOPQRSTUVWXYZ'],
    [0x65, '€'],
  ],
  /* Kannada */
  7: [
    [0x00, '@£$¥¿"¤%&\'\f*+'],
    [0x0e, '-/<=>¡^¡_#*।॥'],
    [0x1c, '೦೧೨೩೪೫೬೭೮೯ೞೱ{}ೲ'],
    [0x2f, '\\'],
    [0x3c, '[~]'],
    [0x40, '|ABCDEFGHIJKLMNOPQRSTUVWXYZ'],
    [0x65, '€'],
  ],
  /* Malayalam */
  8: [
    [0x00, '@£$¥¿"¤%&\'\f*+'],
    [0x0e, '-/<=>¡^¡_#*।॥'],
    [0x1c, '൦൧൨൩൪൫൬൭൮൯൰൱{}൲൳൴൵ൺ\\ൻർൽൾൿ'],
    [0x3c, '[~]'],
    [0x40, '|ABCDEFGHIJKLMNOPQRSTUVWXYZ'],
    [0x65, '€'],
  ],
  /* Oriya */
  9: [
    [0x00, '@£$¥¿"¤%&\'\f*+'],
    [0x0e, '-/<=>¡^¡_#*।॥'],
    [0x1c, '୦୧୨୩୪୫୬୭୮୯ଡ଼ଢ଼{}ୟ୰ୱ'],
    [0x2f, '\\'],
    [0x3c, '[~]'],
    [0x40, '|ABCDEFGHIJKLMNOPQRSTUVWXYZ'],
    [0x65, '€'],
  ],
  /* Punjabi */
  10: [
    [0x00, '@£$¥¿"¤%&\'\f*+'],
    [0x0e, '-/<=>¡^¡_#*।॥'],
    [0x1c, '੦੧੨੩੪੫੬੭੮੯ਖ਼ਗ਼{}ਜ਼ੜਫ਼\u0a75'],
    [0x2f, '\\'],
    [0x3c, '[~]'],
    [0x40, '|ABCDEFGHIJKLMNOPQRSTUVWXYZ'],
    [0x65, '€'],
  ],
  /* Tamil */
  11: [
    [0x00, '@£$¥¿"¤%&\'\f*+'],
    [0x0e, '-/<=>¡^¡_#*।॥'],
    [0x1c, '௦௧௨௩௪௫௬௭௮௯௳௴{}௵௶௷௸௺\\'],
    [0x3c, '[~]'],
    [0x40, '|ABCDEFGHIJKLMNOPQRSTUVWXYZ'],
    [0x65, '€'],
  ],
  /* Telugu */
  12: [
    [0x00, '@£$¥¿"¤%&\'\f*+'],
    [0x0e, '-/<=>¡^¡_#*'],
    [0x1c, '౦౧౨౩౪౫౬౭౮౯ౘౙ{}౸౹౺౻౼\\౽౾౿'],
    [0x3c, '[~]'],
    [0x40, '|ABCDEFGHIJKLMNOPQRSTUVWXYZ'],
  ],
  /* Urdu */
  13: [
    [0x00, '@£$¥¿"¤%&\'\f*+'],
    [0x0e, '-/<=>¡^¡_#*\u0600\u0601'],
    [
      0x1c,
      '۰۱۲۳۴۵۶۷۸۹،\u060d{}؎؏\u0610\u0611\u0612\\\u0613\u0614\u061b\u061f\u0640\u0652\u0658\u066b\u066c\u0672\u0673\u06cd[~]\u06d4|ABCDEFGHIJKLMNOPQRSTUVWXYZ',
    ],
    [0x65, '€'],
  ],
};
