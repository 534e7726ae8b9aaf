/** A two-level fraction of least aberration: generators by letter, base letters first, no I. */
export interface FractionRow {
  readonly factors: number;
  readonly runs: number;
  readonly generators: string;
}

/** Letters of factors in the trade's order: no I, which stands for the mean. */
export const LETTERS = "ABCDEFGHJKLMNOPQRSTUVWXYZabcdef";

/**
 * Two-level fractions of minimum aberration, 4 to 128 runs, 3 to 15 factors; the last row is the saturated one of 32 runs.
 *
 * Source: J. Chen, D. X. Sun, C. F. J. Wu, "A catalogue of two-level and three-level fractional factorial designs with
 * small runs", Int. Stat. Rev. 61 (1993) 131–145, and R. M. Block, R. W. Mee, "Resolution IV designs with 128 runs",
 * J. Quality Technology 37 (2005) 282–293, as given in the catalogue of the R package FrF2; the last row is NIST/SEMATECH
 * e-Handbook, section 5.3.3.4.7.
 */
export const FRACTIONS: readonly FractionRow[] = [
  { factors: 3, runs: 4, generators: "C=AB" },
  { factors: 4, runs: 8, generators: "D=ABC" },
  { factors: 5, runs: 16, generators: "E=ABCD" },
  { factors: 5, runs: 8, generators: "D=AB E=AC" },
  { factors: 6, runs: 32, generators: "F=ABCDE" },
  { factors: 6, runs: 16, generators: "E=ABC F=ABD" },
  { factors: 6, runs: 8, generators: "D=AB E=AC F=BC" },
  { factors: 7, runs: 64, generators: "G=ABCDEF" },
  { factors: 7, runs: 32, generators: "F=ABC G=ABDE" },
  { factors: 7, runs: 16, generators: "E=ABC F=ABD G=ACD" },
  { factors: 7, runs: 8, generators: "D=AB E=AC F=BC G=ABC" },
  { factors: 8, runs: 128, generators: "H=ABCDEFG" },
  { factors: 8, runs: 64, generators: "G=ABCD H=ABEF" },
  { factors: 8, runs: 32, generators: "F=ABC G=ABD H=ACDE" },
  { factors: 8, runs: 16, generators: "E=ABC F=ABD G=ACD H=BCD" },
  { factors: 9, runs: 128, generators: "H=ABCDE J=ABCFG" },
  { factors: 9, runs: 64, generators: "G=ABC H=ABDE J=ACDF" },
  { factors: 9, runs: 32, generators: "F=ABC G=ABD H=ABE J=ACDE" },
  { factors: 9, runs: 16, generators: "E=AB F=AC G=AD H=BCD J=ABCD" },
  { factors: 10, runs: 128, generators: "H=ABCDE J=ABCFG K=ABDF" },
  { factors: 10, runs: 64, generators: "G=ABC H=ABDE J=ABDF K=ACEF" },
  { factors: 10, runs: 32, generators: "F=ABC G=ABD H=ABE J=ACDE K=BCDE" },
  { factors: 10, runs: 16, generators: "E=AB F=AC G=BC H=AD J=BCD K=ABCD" },
  { factors: 11, runs: 128, generators: "H=ABCDE J=ABCFG K=ABDF L=ACEG" },
  { factors: 11, runs: 64, generators: "G=ABC H=ABD J=ACDE K=ACDF L=ABEF" },
  { factors: 11, runs: 32, generators: "F=ABC G=ABD H=ACD J=ABE K=ACE L=ADE" },
  { factors: 11, runs: 16, generators: "E=AB F=AC G=BC H=AD J=BD K=ACD L=BCD" },
  { factors: 12, runs: 128, generators: "H=ABCDE J=ABCFG K=ABDF L=ACEG M=ADEFG" },
  { factors: 12, runs: 64, generators: "G=ABC H=ABD J=ACDE K=ACDF L=ABEF M=BCDEF" },
  { factors: 12, runs: 32, generators: "F=ABC G=ABD H=ACD J=BCD K=ABE L=ACE M=ADE" },
  { factors: 12, runs: 16, generators: "E=AB F=AC G=BC H=AD J=BD K=ACD L=BCD M=ABCD" },
  { factors: 13, runs: 128, generators: "H=ABCDE J=ABCFG K=ABDF L=ACEG M=CDF N=BCEG" },
  { factors: 13, runs: 64, generators: "G=ABC H=ABD J=ACE K=ADE L=BCF M=BDEF N=CDEF" },
  { factors: 13, runs: 32, generators: "F=ABC G=ABD H=ACD J=BCD K=ABE L=ACE M=BCE N=ADE" },
  { factors: 13, runs: 16, generators: "E=AB F=AC G=BC H=ABC J=AD K=BD L=ABD M=CD N=ACD" },
  { factors: 14, runs: 128, generators: "H=ABCDE J=ABCFG K=ABDF L=ACEG M=BCDF N=ACDEF O=BEFG" },
  { factors: 14, runs: 64, generators: "G=ABC H=ABD J=ABE K=BCDE L=ACF M=ADF N=AEF O=CDEF" },
  { factors: 14, runs: 32, generators: "F=ABC G=ABD H=ACD J=BCD K=ABE L=ACE M=BCE N=ADE O=BDE" },
  { factors: 14, runs: 16, generators: "E=AB F=AC G=BC H=ABC J=AD K=BD L=ABD M=CD N=ACD O=BCD" },
  { factors: 15, runs: 128, generators: "H=ABCDE J=ABCFG K=ABDF L=ACEG M=BCDF N=ACDEF O=BEFG P=ABG" },
  { factors: 15, runs: 64, generators: "G=ABC H=ABD J=ABE K=BCDE L=ACF M=ADF N=AEF O=CDEF P=ABCDEF" },
  { factors: 15, runs: 32, generators: "F=ABC G=ABD H=ACD J=BCD K=ABE L=ACE M=BCE N=ADE O=BDE P=CDE" },
  { factors: 15, runs: 16, generators: "E=AB F=AC G=BC H=ABC J=AD K=BD L=ABD M=CD N=ACD O=BCD P=ABCD" },
  {
    factors: 31,
    runs: 32,
    generators:
      "F=AB G=AC H=AD J=AE K=BC L=BD M=BE N=CD O=CE P=DE Q=ABC R=ABD S=ABE T=ACD U=ACE V=ADE W=BCD X=BCE Y=BDE Z=CDE a=ABCD b=ABCE c=ABDE d=ACDE e=BCDE f=ABCDE",
  },
];
