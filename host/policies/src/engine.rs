//! The engine: what a policy may do at all, and the pool that its instances come from.
//!
//! The same component and question give the same answer on any machine: instructions are counted, not-a-number has one
//! form, instructions whose result depends on the processor are off, and so are threads.

use std::hash::{DefaultHasher, Hash, Hasher};

use wasmtime::{Config, Enabled, Engine, InstanceAllocationStrategy, OptLevel, PoolingAllocationConfig};

use crate::RuntimeOptions;

/// Memory that stays with a slot of the pool between calls, so that the next call need not fault it in again.
const KEEP_RESIDENT: usize = 4 << 20;

/// Core instances, tables and memories that one component may be made of. A component written in Rust has 3 instances,
/// one memory and 2 tables; one that brings its own interpreter has more.
const PARTS_PER_COMPONENT: u32 = 16;
const MEMORIES_PER_COMPONENT: u32 = 4;

pub(crate) fn engine(options: &RuntimeOptions) -> wasmtime::Result<Engine> {
    let mut config = Config::new();
    config
        .consume_fuel(true)
        .epoch_interruption(true)
        .cranelift_nan_canonicalization(true)
        .cranelift_opt_level(OptLevel::Speed)
        .wasm_relaxed_simd(false)
        .wasm_memory64(false)
        .concurrency_support(false)
        .memory_init_cow(true)
        .generate_address_map(false)
        .allocation_strategy(InstanceAllocationStrategy::Pooling(pool(options)));
    Engine::new(&config)
}

fn pool(options: &RuntimeOptions) -> PoolingAllocationConfig {
    let calls = options.calls_at_once.max(1);
    // Without a scan for touched pages, all that is kept resident is written anew after each call.
    let scan = PoolingAllocationConfig::is_pagemap_scan_available();
    let mut pool = PoolingAllocationConfig::new();
    pool.total_component_instances(calls)
        .total_core_instances(calls * PARTS_PER_COMPONENT)
        .total_memories(calls * MEMORIES_PER_COMPONENT)
        .total_tables(calls * PARTS_PER_COMPONENT)
        .max_core_instances_per_component(PARTS_PER_COMPONENT)
        .max_memories_per_component(MEMORIES_PER_COMPONENT)
        .max_tables_per_component(PARTS_PER_COMPONENT)
        .max_memory_size(options.memory_bytes as usize)
        .table_elements(options.table_elements as usize)
        .linear_memory_keep_resident(if scan { KEEP_RESIDENT } else { 1 << 16 })
        .table_keep_resident(if scan { 1 << 16 } else { 0 })
        .pagemap_scan(if scan { Enabled::Yes } else { Enabled::No });
    pool
}

/// Names what compiled code depends on beside the component: version and settings of the compiler, and the processor.
pub(crate) fn fingerprint(engine: &Engine) -> String {
    let mut hasher = DefaultHasher::new();
    engine.precompile_compatibility_hash().hash(&mut hasher);
    format!("{:016x}", hasher.finish())
}
