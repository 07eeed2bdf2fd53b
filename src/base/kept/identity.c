/* SPDX-License-Identifier: MIT */
/* What computes: an answer is only as good as the program that gave it, so another build, another library or another
 * kind of processor finds nothing of what this one kept. In: the process itself. Out: a hash.
 * Source: build ids are the linker's own hash of what it linked (NT_GNU_BUILD_ID, elf(5)). */
#include "kept.h"

#include <elf.h>
#include <link.h>
#include <string.h>
#include <sys/auxv.h>
#include <sys/stat.h>

static void add(crypto_generichash_state *state, const void *bytes, size_t size) {
  crypto_generichash_update(state, bytes, size);
}

static size_t padded(size_t size) {
  return (size + 3) & ~(size_t)3;
}

/* Adds the build id among the notes of a segment. */
static bool add_build_id(crypto_generichash_state *state, const unsigned char *notes, size_t size) {
  while (size >= sizeof(ElfW(Nhdr))) {
    ElfW(Nhdr) note;
    memcpy(&note, notes, sizeof note);
    const size_t name = sizeof note, content = name + padded(note.n_namesz), end = content + padded(note.n_descsz);
    if (end > size) return false;
    if (note.n_type == NT_GNU_BUILD_ID && note.n_namesz == 4 && memcmp(notes + name, "GNU", 4) == 0) {
      add(state, notes + content, note.n_descsz);
      return true;
    }
    notes += end;
    size -= end;
  }
  return false;
}

/* Without a build id a file is known by its place, size and time. */
static void add_file(crypto_generichash_state *state, const char *path) {
  struct stat about = {0};
  (void)stat(path, &about);
  const int64_t facts[] = {(int64_t)about.st_dev, (int64_t)about.st_ino, (int64_t)about.st_size,
                           (int64_t)about.st_mtim.tv_sec, (int64_t)about.st_mtim.tv_nsec};
  add(state, path, strlen(path));
  add(state, facts, sizeof facts);
}

static int add_object(struct dl_phdr_info *object, size_t size, void *state) {
  (void)size;
  if (object->dlpi_name && strstr(object->dlpi_name, "linux-vdso")) return 0; /* the kernel's clock */
  for (size_t i = 0; i < object->dlpi_phnum; i++) {
    const ElfW(Phdr) *part = &object->dlpi_phdr[i];
    if (part->p_type != PT_NOTE) continue;
    /* The loader tells addresses as numbers. NOLINTNEXTLINE(performance-no-int-to-ptr) */
    const unsigned char *notes = (const unsigned char *)(object->dlpi_addr + part->p_vaddr);
    if (add_build_id(state, notes, part->p_memsz)) return 0;
  }
  add_file(state, object->dlpi_name && object->dlpi_name[0] ? object->dlpi_name : "/proc/self/exe");
  return 0;
}

/* The C library and we ourselves choose faster code where the processor has it; last digits may follow it. */
static void add_processor(crypto_generichash_state *state) {
  unsigned long facts[8] = {getauxval(AT_HWCAP), getauxval(AT_HWCAP2)};
#if defined(__x86_64__) || defined(__i386__)
  __builtin_cpu_init();
  facts[2] = __builtin_cpu_supports("avx") != 0;
  facts[3] = __builtin_cpu_supports("avx2") != 0;
  facts[4] = __builtin_cpu_supports("fma") != 0;
  facts[5] = __builtin_cpu_supports("avx512f") != 0;
  facts[6] = __builtin_cpu_supports("sse4.1") != 0;
#endif
  add(state, facts, sizeof facts);
}

void kept_identity(unsigned char out[KEPT_HASH]) {
  crypto_generichash_state state;
  crypto_generichash_init(&state, NULL, 0, KEPT_HASH);
  dl_iterate_phdr(add_object, &state);
  add_processor(&state);
  crypto_generichash_final(&state, out, KEPT_HASH);
}
