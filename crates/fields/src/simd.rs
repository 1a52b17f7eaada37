//! The widest vector instructions of this machine, chosen at run time.
//!
//! Kernels are plain scalar functions without branches. Called in a loop under [`vectorized`] the
//! compiler turns them into vector code for each instruction set. None of them asks for fused
//! multiply-add, so every machine gives the same bits.

/// Runs `work` compiled for AVX-512, AVX2 or the target's own instructions, whichever is best here.
///
/// What it calls is compiled so only where it is inlined: kernels are `#[inline(always)]`.
#[inline(always)]
pub(crate) fn vectorized<R>(work: impl FnOnce() -> R) -> R {
    struct Work<F>(F);
    impl<R, F: FnOnce() -> R> pulp::WithSimd for Work<F> {
        type Output = R;
        #[inline(always)]
        fn with_simd<S: pulp::Simd>(self, _simd: S) -> R {
            (self.0)()
        }
    }
    pulp::Arch::new().dispatch(Work(work))
}
