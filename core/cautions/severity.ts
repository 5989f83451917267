/** 4 can kill, maim or explode; 3 toxic gas, strong heat, lasting harm; 2 irritant, foam, spill; 1 nuisance. */
export type Severity = 1 | 2 | 3 | 4
