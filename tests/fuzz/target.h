/* What the fuzz targets share: a reader for `use` lines, and a mutator that works on words and
 * lines as well as on bytes. Built by clang for libFuzzer, or by any compiler with driver.c. */
#ifndef SELVAGE_TESTS_FUZZ_TARGET_H
#define SELVAGE_TESTS_FUZZ_TARGET_H

#include "selvage.h"

#include <stdint.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

/* Ends the run where a claim does not hold, and says which. */
#define CLAIM(holds) ((holds) ? (void)0 : claim_broken(#holds, __FILE__, __LINE__))
_Noreturn void claim_broken(const char *claim, const char *file, int line);

/* For requests whose context is the text itself: the files of patterns/ by their last part; every
 * other path gives a short text once more, so that it uses itself under names without end. */
selvage_reader target_read;

#endif
