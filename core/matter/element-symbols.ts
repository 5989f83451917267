/** Symbols of the 118 named elements (IUPAC periodic table, 2018 release), and D for deuterium (IUPAC Red Book 2005, IR-3.3.2). */
const symbols = (
  'H He Li Be B C N O F Ne Na Mg Al Si P S Cl Ar K Ca Sc Ti V Cr Mn Fe Co Ni Cu Zn Ga Ge As Se Br Kr Rb Sr Y Zr Nb Mo Tc Ru Rh Pd Ag Cd ' +
  'In Sn Sb Te I Xe Cs Ba La Ce Pr Nd Pm Sm Eu Gd Tb Dy Ho Er Tm Yb Lu Hf Ta W Re Os Ir Pt Au Hg Tl Pb Bi Po At Rn Fr Ra Ac Th Pa U Np Pu ' +
  'Am Cm Bk Cf Es Fm Md No Lr Rf Db Sg Bh Hs Mt Ds Rg Cn Nh Fl Mc Lv Ts Og D'
).split(' ')

export const elementSymbols: ReadonlySet<string> = new Set(symbols)

/** Everyday elements of a demonstration shelf; only used to rank guesses at a mistyped formula. */
const everyday: ReadonlySet<string> = new Set('H C N O S Na K Cl'.split(' '))
const usual: ReadonlySet<string> = new Set('Mn Cu Fe Ca Mg I Br P'.split(' '))
const occasional: ReadonlySet<string> = new Set('Ag Al B Ba Ce Co Cr F Hg Li Ni Pb Si Sn Ti V Zn'.split(' '))

/** How odd an element would be in a formula somebody typed: 0 everyday to 5 hardly ever. */
export function oddness(symbol: string): number {
  if (everyday.has(symbol)) return 0
  if (usual.has(symbol)) return 1
  return occasional.has(symbol) ? 2 : 5
}
