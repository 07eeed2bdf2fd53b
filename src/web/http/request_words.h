/* SPDX-License-Identifier: MIT */
#ifndef BC_SRC_WEB_WORDS_H
#define BC_SRC_WEB_WORDS_H

#include "web/http/request.h"

typedef struct web_language {
  const char *code, *name;
  bool rtl;
} web_language;
const web_language *web_languages(size_t *count);
void web_words_load(void); /* once, before threads */
void web_words_forget(void);
/* {"english":"translation" or ["one","many",…]}: what the catalogue has of the page's sentences. The caller frees it.
 */
/* A sentence that was kept, as whoever sent the photo read it, in the language of whoever reads it now; those with
 * figures of their own stay as they are. Borrowed. */
const char *web_words_anew(const char *language, const char *said);
char *web_words_for_page(const char *language);

#endif
