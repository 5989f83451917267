/** A number that carries its unit in the type; costs nothing at run time. */
declare const unit: unique symbol
export type In<U extends string> = number & { readonly [unit]: U }

export type Mol = In<'mol'>
export type Litre = In<'L'>
export type Gram = In<'g'>
export type Second = In<'s'>
export type Kelvin = In<'K'>
export type MolPerLitre = In<'mol/L'>
export type GramPerLitre = In<'g/L'>
export type GramPerMol = In<'g/mol'>
export type GramPerMl = In<'g/mL'>
/** g of substance per g of solution or of bottle content, 0..1. */
export type MassFraction = In<'g/g'>
export type Centimetre = In<'cm'>

export const mol = (x: number): Mol => x as Mol
export const litre = (x: number): Litre => x as Litre
export const gram = (x: number): Gram => x as Gram
export const second = (x: number): Second => x as Second
export const kelvin = (x: number): Kelvin => x as Kelvin
export const molPerLitre = (x: number): MolPerLitre => x as MolPerLitre
export const gramPerLitre = (x: number): GramPerLitre => x as GramPerLitre
export const gramPerMol = (x: number): GramPerMol => x as GramPerMol
export const gramPerMl = (x: number): GramPerMl => x as GramPerMl
export const massFraction = (x: number): MassFraction => x as MassFraction
export const centimetre = (x: number): Centimetre => x as Centimetre

/** 0 degrees Celsius in kelvin (exact, SI Brochure 9th ed. 2.3.1). */
export const ZERO_CELSIUS_K = 273.15
/** Molar gas constant, J/(mol K), exact since 2019 (SI Brochure, 9th ed. 2019: k and N_A are exact). */
export const GAS_CONSTANT = 8.31446261815324
/** Faraday constant, C/mol, exact since 2019 (SI Brochure, 9th ed. 2019). */
export const FARADAY_CONSTANT = 96485.33212331001
/** Standard atmosphere in pascal (exact by definition, SI Brochure). */
export const ATMOSPHERE_PA = 101325

export const celsiusToKelvin = (celsius: number): Kelvin => kelvin(celsius + ZERO_CELSIUS_K)
export const kelvinToCelsius = (k: number): number => k - ZERO_CELSIUS_K
