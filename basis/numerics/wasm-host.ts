/**
 * The part of the engine's WebAssembly interface that is used here, declared by ourselves: this code is compiled for no particular host. Source:
 * WebAssembly JavaScript Interface, W3C 2022.
 */

/** A compiled module; opaque. */
export interface WasmModule {
  readonly opaque?: never
}

export interface WasmInstance {
  readonly exports: Readonly<Record<string, unknown>>
}

interface WasmHost {
  readonly Module: new (bytes: Uint8Array) => WasmModule
  readonly Instance: new (module: WasmModule, imports: Readonly<Record<string, Readonly<Record<string, unknown>>>>) => WasmInstance
}

/** The host's WebAssembly, or null where there is none. */
function wasmHost(): WasmHost | null {
  const host = (globalThis as { readonly WebAssembly?: WasmHost }).WebAssembly
  return host ?? null
}

/**
 * Compiles; null where the host has no WebAssembly, no vector instructions, forbids compiling (a page's policy without `wasm-unsafe-eval`), or
 * refuses to do it on this thread because the module is large.
 */
export function compileModule(bytes: Uint8Array): WasmModule | null {
  const host = wasmHost()
  if (host === null) return null
  try {
    return new host.Module(bytes)
  } catch {
    return null
  }
}

/** An instance with memory of its own; null where the host refuses (out of memory). */
export function instantiate(module: WasmModule, imports: Readonly<Record<string, Readonly<Record<string, unknown>>>>): WasmInstance | null {
  const host = wasmHost()
  if (host === null) return null
  try {
    return new host.Instance(module, imports)
  } catch {
    return null
  }
}

/** Compiled modules and what belongs to them, by a key that says everything the code depends on; the one not asked for longest goes first. */
export function createModuleStore<T>(most: number): (key: string, make: () => T) => T {
  const held = new Map<string, T>()
  return (key, make) => {
    const value = held.has(key) ? held.get(key)! : make()
    held.delete(key)
    held.set(key, value)
    for (const oldest of held.keys()) {
      if (held.size <= most) break
      held.delete(oldest)
    }
    return value
  }
}
