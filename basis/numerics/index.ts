export * from './ode.ts'
