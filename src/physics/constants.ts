/** Standard acceleration of free fall [m/s²]. Source: NIST SP 330 (2019), 3rd CGPM 1901. */
export const GRAVITY = 9.80665;
