#pragma once
// Where the time of a run goes: whoever wants to know listens, the library only says what begins and ends.

namespace scrapetrace {

// Told on the thread that does the work, from several threads at once; stages of one thread nest. `name` is a
// literal that outlives the run.
class StageListener {
 public:
  StageListener() = default;
  StageListener(const StageListener&) = delete;
  StageListener& operator=(const StageListener&) = delete;
  virtual ~StageListener() = default;
  virtual void begin(const char* name) = 0;
  virtual void end() = 0;
};

// One stage, as long as this lives. Without a listener nothing happens.
class Stage {
 public:
  Stage(StageListener* listener, const char* name) : listener_(listener) {
    if (listener_ != nullptr) listener_->begin(name);
  }
  Stage(const Stage&) = delete;
  Stage& operator=(const Stage&) = delete;
  ~Stage() {
    if (listener_ != nullptr) listener_->end();
  }

 private:
  StageListener* listener_;
};

// What `work` returns, as a stage.
template <class Work>
auto timed(StageListener* listener, const char* name, Work work) {
  const Stage stage(listener, name);
  return work();
}

}  // namespace scrapetrace
