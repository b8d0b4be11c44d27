import type { DimeglioParts } from '../../model/course-events.js';
import type { Published } from './published.js';

export type DimeglioGrade = 'I' | 'II' | 'III' | 'IV';

const BRAZELL =
  'Brazell C et al. Dimeglio score predicts treatment difficulty. J Pediatr Orthop 2019;39:e402-5';

/** Total of one foot, 0 to 20, and its grade. Parts have been checked. */
export function dimeglioScore(given: number | DimeglioParts): {
  total: number;
  grade: DimeglioGrade;
  word: string;
} {
  const total =
    typeof given === 'number'
      ? given
      : given.equinus +
        given.varus +
        given.derotation +
        given.adduction +
        [given.posteriorCrease, given.medialCrease, given.cavus, given.poorMuscle].filter(Boolean).length;
  const grade = gradeOf(total);
  return { total, grade, word: WORDS[grade] };
}

/** The four words: Canavese F. Classification of clubfoot (book chapter), 2023. */
const WORDS: Readonly<Record<DimeglioGrade, string>> = {
  I: 'benign',
  II: 'moderate',
  III: 'severe',
  IV: 'very severe',
};

/**
 * Texts print overlapping limits; here, in this one place: below 5 I, 5-9 II, 10-14 III, 15-20 IV.
 * Dimeglio A et al. Classification of clubfoot. J Pediatr Orthop B 1995;4:129-136 (from memory).
 */
function gradeOf(total: number): DimeglioGrade {
  if (total < 5) return 'I';
  if (total < 10) return 'II';
  return total < 15 ? 'III' : 'IV';
}

/** Points of one reducibility angle, in degrees left after gentle correction. Same source, from memory. */
export function dimeglioPoints(residualDegrees: number): 0 | 1 | 2 | 3 | 4 {
  if (residualDegrees > 45) return 4;
  if (residualDegrees > 20) return 3;
  if (residualDegrees > 0) return 2;
  return residualDegrees > -20 ? 1 : 0;
}

/** What studies found for feet with this score before the first cast. Pure. */
export function dimeglioBeforeCasts(given: number | DimeglioParts): Published[] {
  const { total, grade } = dimeglioScore(given);
  const found: Published[] = [
    { about: 'casts', says: 'median 5 casts', spread: 'range 2 to 16; 53 feet, all grades', source: BRAZELL },
  ];
  if (typeof given !== 'number')
    found.push({
      about: 'casts',
      says: `each point of derotation (here ${given.derotation}) went with 1.30 times as many casts`,
      spread: '1.13 to 1.50; 53 feet',
      source: BRAZELL,
    });
  if (total >= 15)
    found.push({
      about: 'tenotomy',
      says: 'tenotomy about 20 % more often at 15 points or more',
      spread: '61.1 % (55 of 90) of all feet in that study',
      source: 'Ponseti results, Southern Israel. Health Sci J 2020;14(4):726',
    });
  if (grade === 'IV')
    found.push({
      about: 'relapse',
      says: 'very severe feet relapsed 5.75 times as often as severe and 7.27 times as often as moderate ones',
      spread: '191 children, one centre',
      source: 'Sangiorgio SN et al. J Am Acad Orthop Surg 2017;25(7):536-545, doi 10.5435/JAAOS-D-16-00522',
    });
  return found;
}
