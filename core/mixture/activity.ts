/** Activity coefficients of ions in water after Davies. */
import { ZERO_CELSIUS_K } from '@beakertide/basis/units'

/** Ionic strength, mol/L, up to which the Davies equation is trusted (Davies, Ion Association, 1962; memory). Above it the coefficients are held. */
export const DAVIES_LIMIT_MOL_PER_L = 0.5

/** Coefficient of the linear term of Davies' 1962 equation (memory). */
const DAVIES_LINEAR = 0.3

/**
 * Relative permittivity of water, 0 to 100 degC: 87.740 - 0.40008 t + 9.398e-4 t^2 - 1.410e-6 t^3
 * (Malmberg & Maryott, J. Res. NBS 56, 1 (1956); memory; 78.30 at 25 degC). Outside, the cubic is simply continued.
 */
function relativePermittivity(temperatureK: number): number {
  const t = temperatureK - ZERO_CELSIUS_K
  return 87.74 + t * (-0.40008 + t * (9.398e-4 - 1.41e-6 * t))
}

/** Numerical factor of the limiting law in water, (L/mol)^(1/2) K^(3/2): from e, k, N_A and pi (1.8246e6; memory). */
const LIMITING_LAW_FACTOR = 1.8246e6

/** Debye-Hueckel slope A for log10, (L/mol)^(1/2): 0.509 at 25 degC. A = 1.8246e6 (eps T)^(-3/2). */
export function debyeHueckelA(temperatureK: number): number {
  return LIMITING_LAW_FACTOR / (relativePermittivity(temperatureK) * temperatureK) ** 1.5
}

/**
 * log10 of the activity coefficient of a singly charged ion; times z^2 for charge z, 0 for neutral species.
 * -A (sqrt I / (1 + sqrt I) - 0.3 I), I in mol/L; above 0.5 mol/L the value at 0.5 is kept, because the linear
 * term would grow without bound (it would make highly charged ions a thousandfold too active at 3 mol/L).
 */
export function davies(ionicStrengthMolPerL: number, temperatureK: number): number {
  const strength = Math.min(Math.max(ionicStrengthMolPerL, 0), DAVIES_LIMIT_MOL_PER_L)
  const root = Math.sqrt(strength)
  return -debyeHueckelA(temperatureK) * (root / (1 + root) - DAVIES_LINEAR * strength)
}
